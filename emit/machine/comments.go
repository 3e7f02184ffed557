package machine

// The comments that a profile, or a recipe, is written with, by key.

// Comment says what a key is.
func (Profile) Comment(key string) string { return profileComments[key] }

var profileComments = map[string]string{
	"furrow":   "file format version",
	"id":       "short name, by which it is asked for: lower-case letters, digits and hyphens",
	"name":     "what you call the machine",
	"kind":     "gantry (a head on belts) or galvo (two mirrors)",
	"link":     "how furrow send reaches the controller and speaks to it",
	"measured": "values that furrow tune fitted to measured runs",
}

// Comment says what a key is.
func (Gantry) Comment(key string) string { return gantryComments[key] }

var gantryComments = map[string]string{
	"bed_mm": "reach of the head in X and Y, mm (manual)",
	"zero":   "by-hand: X0 Y0 is set on the blank; bed: X0 Y0 is fixed, see origin_mm",
	"origin_mm": "with zero = bed: where X0 Y0 is, from the lower-left corner of the bed, mm (controller " +
		"setting)",
	"max_speed_mm_s": "greatest speed in X and Y, mm/s (controller setting)",
	"accel_mm_s2":    "acceleration in X and Y, mm/s2 (controller setting)",
	"jerk_mm_s3": "greatest change of acceleration in X and Y, mm/s3 (controller setting); leave out where the " +
		"controller has none",
	"rapid_mm_s": "speed of a travel move (G0), mm/s (controller setting)",
	"accel_along_path": "true: the acceleration holds along the path, not for each axis (by stopwatch: furrow " +
		"help machines)",
	"travel_junction": "corner: the head passes from travel (G0) to feed (G1) as over any corner; rest: it " +
		"stops there (by stopwatch: furrow help machines); left out: corner",
	"corner_error_mm": "how far a corner may be cut; sets the speed through corners, mm (controller setting)",
	"overtravel_margin_mm": "extra run-up and run-out beside each row, mm (0.5 is a start; measured: until row " +
		"ends are even)",
	"overtravel_mm":      "run-up and run-out set by hand in place of the computed one, mm (measured)",
	"beam_on_latency_us": "from the command to the beam being on, microseconds (measured: furrow help stagger)",
	"beam_off_latency_us": "from the command to the beam being off, microseconds (measured: furrow help " +
		"stagger)",
	"backlash_mm":  "lost motion of X and Y at a reversal, mm (measured: furrow help stagger)",
	"reversal":     "measured offset of rows marked backwards, by speed; takes the place of latency and backlash",
	"steps_per_mm": "motor steps a millimetre in X and Y (controller setting)",
	"keep_out": "where the head must never go (clamps): left, bottom, right, top of each, mm from X0 Y0 " +
		"(measured)",
}

// Comment says what a key is.
func (Reversal) Comment(key string) string { return reversalComments[key] }

var reversalComments = map[string]string{
	"speed_mm_s": "of the rows, mm/s (as marked on the card)",
	"offset_mm":  "mm (measured); positive where a row marked backwards starts and ends too late",
}

// Comment says what a key is.
func (Galvo) Comment(key string) string { return galvoComments[key] }

var galvoComments = map[string]string{
	"field_mm":            "what the lens reaches in X and Y, mm (manual)",
	"max_speed_mm_s":      "greatest marking speed, mm/s (manual)",
	"jump_speed_mm_s":     "speed of a jump, mm/s (controller setting)",
	"jump_delay_us":       "settling wait after a long jump, microseconds (controller setting)",
	"short_jump_delay_us": "settling wait after a jump of no length, microseconds (controller setting)",
	"short_jump_mm":       "length from which a jump needs the whole jump delay, mm (controller setting)",
	"mark_delay_us":       "wait at the end of a chain of marks, microseconds (controller setting)",
	"corner_delay_us": "wait at a reversal inside a chain; less at a lesser turn, microseconds (controller " +
		"setting)",
	"laser_on_delay_us": "gate opens this long after a mark is commanded, may be negative, microseconds " +
		"(controller setting)",
	"laser_off_delay_us": "gate closes this long after a mark's commanded end, microseconds (controller " +
		"setting)",
	"tracking_lag_us": "how far the mirrors trail the command (data sheet), microseconds; stands in for all " +
		"six delays",
	"run_up_us": "beam-off run at marking speed before and behind each row, microseconds (measured: until row " +
		"ends are even); left out: none",
	"gap_mm": "longest gap in a row that is crossed beam off at marking speed instead of by a jump, where " +
		"quicker, mm (your choice); left out: none",
	"longest_dot_ms":       "longest that a dot may burn in one place, ms (your choice); left out: 1000",
	"field_scale":          "factors on X and Y, to trim the field (measured: asked over got); left out: 1",
	"field_rotate_degrees": "turns the field, degrees counter-clockwise (measured)",
	"field_offset_mm":      "moves the field, mm (measured); scale, turn and offset act in this sequence",
	"correction_csv": "file of commanded and measured points, beside this one (marked and measured as a field " +
		"grid)",
	"measuring_error_mm": "how well those points were measured, mm (the scale of your rule or microscope)",
}

// Comment says what a key is.
func (Laser) Comment(key string) string { return laserComments[key] }

var laserComments = map[string]string{
	"wavelength_nm": "wavelength, nm (plate on the source)",
	"rated_power_w": "mean power at 100 percent, W (plate on the source)",
	"spot_mm":       "width of the spot in X and Y, mm (measured)",
	"focus_height_mm": "from the lens, or from what you set by, to material in focus, mm (measured: furrow " +
		"swatch focus)",
	"m2": "beam quality M2, which says how soon the spot widens out of focus (data sheet); left " +
		"out: 1",
	"frequency_khz":       "of a pulsed source: lowest and highest pulse frequency, kHz (data sheet)",
	"pulse_ns":            "of a pulsed source: pulse length, ns (data sheet)",
	"max_pulse_energy_mj": "of a pulsed source: most energy in one pulse, mJ (data sheet)",
	"pulse_table": "of a source with adjustable pulse length: pairs of pulse length, ns, and the lowest " +
		"frequency, kHz, at which it gives full power (manual)",
	"floor_percent": "the source does not fire below this percent (measured)",
	"power_curve": "pairs of percent and W, rising (measured with a power meter); without it power is in " +
		"proportion to percent",
	"locate_max_percent": "most percent a locating trace may use (your choice); 0 keeps it beam off",
}

// Comment says what a key is.
func (GCode) Comment(key string) string { return gcodeComments[key] }

var gcodeComments = map[string]string{
	"power_word_max": "power word at 100 percent power (controller setting)",
	"power_decimals": "decimals of the power word, 0 to 3 (controller manual)",
	"power_word": "word that sets the power: S, or an output in step with the motion such as M67 E0 Q " +
		"(controller manual); left out: S",
	"power_change": "on-the-fly, or stops where every change of power stops the head (by stopwatch: furrow " +
		"help machines); left out: on-the-fly",
	"power_mode": "steady (M3), or speed-following (M4) where the controller scales power with speed: a " +
		"convention of some controllers, not of RS274/NGC",
	"link_bytes_per_s": "what the serial link carries, bytes/s (a tenth of its baud)",
	"moves_per_s":      "what the controller's planner takes, moves/s (controller manual)",
	"shortest_move_ms": "least time of one move, ms, where the planner gives each one a cycle (by stopwatch: " +
		"furrow help machines); left out: none",
	"lookahead_moves": "how many moves the controller's planner sees ahead (controller manual)",
	"arcs":            "true: the controller takes arcs (G2, G3 with I and J)",
	"inch":            "true: write inches (G20)",
	"air":             "word that turns air on, M7 or M8; M9 turns it off",
	"dwell": "true: the controller waits at G4 P, in seconds as RS274/NGC says, so that a file may pause to " +
		"let a blank cool (by stopwatch)",
	"blend":        "true: ask for continuous motion (G64)",
	"end":          "word that ends the program, M2 or M30",
	"comments":     "parentheses, semicolon or none",
	"line_numbers": "true: number the lines (N)",
	"crlf":         "true: end lines with CR LF",
	"wait_unit":    "of a galvo: what the P of a wait (G4) counts, s or ms (controller manual); RS-274 has s",
	"repeat_words": "true: write every word on every line",
	"start_lines":  "your own lines behind M5 S0, before the beam is armed; none may turn it on, wait or stop",
	"end_lines":    "your own lines before the end; none may turn the beam on or leave the air on",
}

// Comment says what a key is.
func (Link) Comment(key string) string { return linkComments[key] }

var linkComments = map[string]string{
	"port":        "serial port by its name on this computer, as /dev/ttyUSB0 or COM3; or give tcp",
	"tcp":         "host:port, of a controller in the network; or give port",
	"baud":        "of a serial port, bits/s (controller manual)",
	"acknowledge": "word that answers a line that was taken, such as ok (controller manual)",
	"refusal": "word that begins the answer to a line that was refused, such as error (controller manual); " +
		"left out: what was refused is known by the answer that does not come",
	"greeting": "how the line begins with which the controller says that it has started (controller manual); " +
		"heard while a file runs, it ends the run; left out: what it says when the link is opened",
	"window_bytes": "how much may be under way before it is acknowledged, bytes: the controller's receive " +
		"buffer (controller manual); left out: a line at a time",
	"answer_s": "longest that an answer may take beyond the time of the moves under way, s; left out: 5",
	"ready_s": "how long the controller takes to be ready when the link is opened, s (by a watch); left out: 2 " +
		"for a port, 0.5 for tcp",
	"wake": "what is sent first, \\n being the end of a line (controller manual); left out: nothing",
	"ask_position": "what makes the controller say where the head is (controller manual); left out: it is not " +
		"asked",
	"hold": "what makes the head stop at once and wait (controller manual); left out: no more lines are sent " +
		"behind one that ends with the beam off",
	"hold_beam_off": "true: in such a hold the controller turns the beam off (controller manual)",
	"go_on":         "what ends such a hold (controller manual)",
	"stop": "what makes the controller drop everything and turn the beam off (controller manual); left out: it " +
		"is left to do what it has taken",
}

// Comment says what a key is.
func (Recipe) Comment(key string) string { return recipeComments[key] }

var recipeComments = map[string]string{
	"furrow":            "file format version",
	"id":                "short name, by which it is asked for: lower-case letters, digits and hyphens",
	"name":              "what you call the recipe",
	"machine":           "id of the machine profile it was tried on",
	"material":          "as you order it; compare looks recipes up by this word",
	"purpose":           "what the mark is for: engrave, mark or outline",
	"speed_mm_s":        "marking speed, mm/s (trial on scrap)",
	"power_percent":     "percent of full power (trial on scrap)",
	"frequency_khz":     "pulse frequency of a pulsed source, kHz (trial on scrap)",
	"pulse_ns":          "pulse length where the source has a choice, ns (trial on scrap)",
	"spacing_mm":        "distance between rows, mm (trial on scrap)",
	"angles_degrees":    "of the rows, counter-clockwise from X, a set of rows each; left out: 0",
	"cross_degrees":     "a second set of rows for each angle, turned by this; left out: none",
	"passes":            "how often the whole fill is marked; left out: once",
	"pass_turn_degrees": "added to the angles each pass; left out: 0",
	"one_way":           "true: mark every row in the same direction",
	"outline":           "trace the outline: none, before, after or only",
	"mark_width_mm":     "width of one marked line, mm (measured under a loupe); the fill is inset by half of it",
	"focus_offset_mm": "distance of the material from the focus, mm (set at the machine); spot, overlap and " +
		"dose follow it",
	"tone": "the mark is lighter or darker than the material",
	"absorbed_fraction": "of the beam's energy, what the material takes in, 0 to 1 (handbook); left out: not " +
		"known",
	"air":       "true: with air assist",
	"rework":    "false: nothing may be marked twice, as annealed colours ask; left out: true",
	"notes":     "anything else: batch, cleaning, masking",
	"from":      "where the settings come from, as patch C4 of card.toml; left out: not told",
	"tested_on": "date of the trial on scrap it comes from, as 2026-11-25; left out: never tested",
}
