package main

// topic is a page of furrow help that belongs to no subcommand.
type topic struct{ name, summary, text string }

var topics = []topic{
	{"units", "how lengths, spacings, frequencies and powers are written", `Lengths     60mm, 25um, 2in; a bare number is millimetres. 1 in is 25.4 mm.
Spacings    0.1mm, 100um, 2in or 254lpi (lines per inch); never a bare number,
            since 400 may mean lines or micrometres.
Frequencies 50kHz, 2MHz, 500Hz; never a bare number.
Speeds      mm/s. Angles: degrees, counter-clockwise from X. Power: percent of full.
In files    a key that holds a bare number carries its unit: speed_mm_s.
Artwork     an SVG without units has 96 px to the inch.
`},
	{"files", "what is read and written, and where it is looked for", `ART.svg    artwork. JOB.toml stands wherever artwork does: furrow new writes one.
OUT.nc     RS-274 G-code for a gantry. OUT.mvl: mark-vector list for a galvo.
Settings   machine profiles and recipes of your own are furrow/machines/*.toml and
           furrow/recipes/*.toml in your settings folder: ~/.config on Linux (or
           XDG_CONFIG_HOME), ~/Library/Application Support on macOS, %AppData% on
           Windows.
Names in a job file are relative to the job file, with / on every platform.
Nothing is overwritten without --force. A file appears whole or not at all.
-o - writes to standard output; messages go to standard error.
Values     command line, the job's part, its [fill], the recipe, the profile, the
           default: the first that says something counts. --explain shows which.
`},
	{"machines", "machine profiles, and where their numbers are found", `A profile says what one machine can do. furrow machines new ID -o mine.toml writes
one to start from, with every key, its unit and where its number is found: in the
manual, in the controller's settings, or by measuring. Check it with
furrow machines check mine.toml, and keep it in your settings folder (furrow help
files). The built-in profiles are examples and describe no real machine.
`},
	{"recipes", "settings that suit a material, and how they are kept", `A recipe holds the settings that suit a material on one machine. Find them on
scrap, then keep them: furrow recipes save oak --machine ID
--material "oak veneer" --speed 200 --power 40 --spacing 0.1mm --tested-on DATE.
Use one with --recipe oak. compare takes each machine's recipe for the material.
The built-in recipes are examples with invented numbers, proved on no material.
There is never a recipe for PVC or vinyl: they give off hydrogen chloride.
`},
	{"safety", "the cautions, in one place", cautionShort + `
Enclosure closed, eyewear of the maker's optical density for the wavelength,
extraction on, an extinguisher at hand, never unattended.
No PVC, vinyl or other chlorinated plastic: they give off hydrogen chloride.
Run a file with a person at the stop; prove settings on scrap of the same batch.
furrow never claims that a setting is safe, and check says what it cannot prove.
`},
}

func topicNames() []string {
	var names []string
	for _, t := range topics {
		names = append(names, t.name)
	}
	return names
}
