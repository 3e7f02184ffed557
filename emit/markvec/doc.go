// Package markvec writes and reads mark-vector lists, the file that a galvo's
// player runs. This page is all that is needed to write a player, and stands for
// itself: the player of some hundred lines in package minimal was written from it
// alone.
//
//	m, err := emit.Plan(program, profile)
//	err = markvec.Encoder{}.Encode(file, m)
//
//	r, err := markvec.NewReader(file)
//	for {
//		rec, err := r.Next() // io.EOF behind the end record
//	}
//
// # The file
//
// A list is ASCII. Every line ends in LF, holds one record, is at most 500
// characters long, its end included, and separates its words by single spaces.
// All numbers are whole, of at most nine digits, without leading zeros, + or -0.
//
//	quantity     unit                quantity     unit
//	coordinate   0.1 um              power        0.01 percent of full
//	time, delay  us                  frequency    Hz
//	speed        mm/s                pulse        ns
//	jumpfull     0.1 um
//
// The origin is the middle of the field, X to the right and Y up. In ABNF (RFC
// 5234, with the case-sensitive strings of RFC 7405):
//
//	list      = version field corrected *record end
//	version   = %s"markvec 1" LF
//	field     = %s"field" SP size SP size LF
//	corrected = %s"corrected" SP ( "0" / "1" ) LF
//	record    = setting / use / vector / timed / hold / comment
//	setting   = %s"setting" SP natural
//	            SP %s"speed" SP size SP %s"jumpspeed" SP size
//	            SP %s"power" SP natural SP %s"frequency" SP natural
//	            SP %s"pulse" SP natural SP %s"on" SP integer
//	            SP %s"off" SP natural SP %s"jump" SP natural
//	            SP %s"jumpmin" SP natural SP %s"jumpfull" SP natural
//	            SP %s"mark" SP natural SP %s"corner" SP natural LF
//	use       = %s"use" SP natural LF
//	vector    = ( %s"J" / %s"M" / %s"D" / %s"G" ) SP integer SP integer LF
//	timed     = ( %s"P" / %s"W" ) SP natural LF
//	hold      = %s"hold" LF
//	comment   = "#" *( SP / VCHAR ) LF
//	end       = %s"end" 3( SP natural ) SP 8hex LF
//	integer   = natural / "-" size
//	natural   = "0" / size
//	size      = %x31-39 *8DIGIT
//	hex       = DIGIT / %x61-66
//
// Beyond the grammar a reader refuses: power above 10000; a frequency of 0 with a
// pulse that is not, or the other way round (both are 0 for a continuous
// source); settings not numbered 0, 1, 2 and so on, or after the first vector;
// a use of a setting that has not come; a vector outside the field, whose
// 2·abs(X) is more than the field's width or 2·abs(Y) more than its height; a J,
// M, D, P or G before the first use; a first of these that is not J or G; counts
// or a CRC that are wrong; and anything behind the end record.
//
// A comment "# profile ID HASH" names the machine profile that the list was
// planned for. Other comments mean nothing.
//
// # What a player does
//
//	corrected 1   applies no lens correction; it is in the coordinates
//	use N         takes setting N from here on
//	J X Y         jumps to X Y at jumpspeed, beam off, then waits
//	M X Y         marks to X Y at speed, beam on, straight from where it is
//	D X Y         moves to X Y at speed, beam off, in a chain: run-up, run-out, gap
//	P T           stands still, beam on for T us
//	G X Y         moves to X Y at jumpspeed, beam off, visible guide on; no wait
//	W T           waits T us, beam off
//	hold          waits for the operator, beam off
//	end J M D CRC has run how many J, M and D; CRC-32 (IEEE 802.3) of every byte
//	              before this line, in eight lower-case hexadecimal digits
//
// It reads the list to its end before it moves anything, since only then is the
// list known to be whole: what has been burnt cannot be taken back.
//
// A chain is an unbroken run of M and D. Any other record closes it, except a
// use of a setting that differs in power only. The waits are
//
//	behind J              jump; for a length L shorter than jumpfull
//	                      jumpmin + (jump − jumpmin)·L/jumpfull
//	between two records   corner·(1 − cos φ)/2 if the chain turns there by an angle
//	of a chain            φ of 15 degrees or more, with the beam as it is; a record
//	                      of no length has no direction, and the one before it counts
//	at the end of a chain mark
//
// The gate opens on us after the commanded start of an M that follows no M, and
// closes off us after the commanded end of an M that no M follows; on may be
// negative. Where it would close no earlier than it opens for the next M, it
// stays open. The delays shift the gate and cost no time:
//
//	record    |--- J ---|        |---- M ----|        |---- M ----|      |-- J
//	wait                |--jump--|           |-corner-|           |-mark-|
//	command    _________          ___________          ___________        ___
//	speed     /         \________/           \________/           \______/
//	mirrors     _________          ___________          ___________        ___
//	          _/         \________/           \________/           \______/
//	          .          .        .           .        .           .      .
//	gate      .          .        . __________________________________    .
//	          ___________________/.  .        .        .           .  \_____
//	                              |on|                              |off|
//
// The time of a list is, for each J, M, D and G, its length over its speed, plus
// the waits, plus the T of W and P. A hold counts nothing. The first vector counts
// from the middle of the field. To agree to the nanosecond, round each of these
// on its own: a length of n steps of 0.1 um takes n·100000/v ns at v mm/s.
//
// # The rules
//
// NewReader and Reader.Next refuse a list that breaks one of the first group. Audit
// tells of the second, and of the third where it knows the machine's profile. All
// reasons are our own, since the form is. The last column is the test that breaks the
// rule.
//
//	form       the grammar above                                    TestRules
//	values     the values of a setting are in their range           TestRules
//	sequence   settings, use and the first vector come in turn      TestRules
//	in-field   every vector ends in the field                       TestRules
//	comment    comments are printable ASCII: a CR ends lines        TestRules
//	whole      counts and check sum are right, nothing follows      TestReaderRefusesAWrongEnd
//
//	maker      a list of ours names its profile                     TestRules
//	length     no vector is of no length: a player divides by it    TestRules
//	unused     every setting is used: an unused one is a slip       TestRules
//	power      no mark or dot is of no power: it was meant to show  TestRules
//	gate       the gate is shut in jumps, gaps and waits            TestRules
//	dot        no dot is longer than longest_dot_ms (or 1 s)        TestRules
//
//	field      the field is the profile's, or all is out of scale   TestRules
//	corrected  so is the correction, or all is out of place         TestRules
//	delays     and the delays and the jump speed                    TestRules
//	source     the source and the scanner have what is asked for    TestRules
//
// The gate shuts off us behind the commanded end of a mark. The mirrors trail the
// command, and on is set to that lag, so a jump may be commanded as soon as off - on has
// passed: the example machines do so. In a gap of a chain, or a wait, the gate must shut
// before it would open again. It must not open, where on is negative, before the jump in
// front of the mark has ended.
//
// # Two lists
//
// A line of 10 mm at 500 mm/s. The jump of 5 mm takes 1,250 us and waits 250, the
// mark takes 20,000 us and waits 100 behind its end: 21,600 us.
//
//	markvec 1
//	field 1100000 1100000
//	corrected 0
//	setting 0 speed 500 jumpspeed 4000 power 4000 frequency 40000 pulse 100 on 100 off 120 jump 250 jumpmin 60 jumpfull 20000 mark 100 corner 40
//	use 0
//	J -50000 0
//	M 50000 0
//	end 1 1 0 88d9de5d
//
// A square corner, a change of power inside the chain, a gap and a run-out, then a
// dot, a stop for the operator and a guide move:
//
//	markvec 1
//	field 1100000 1100000
//	corrected 1
//	# profile shop-fibre 0123456789ab
//	setting 0 speed 1000 jumpspeed 4000 power 5000 frequency 0 pulse 0 on -20 off 80 jump 200 jumpmin 50 jumpfull 10000 mark 150 corner 60
//	setting 1 speed 1000 jumpspeed 4000 power 2500 frequency 0 pulse 0 on -20 off 80 jump 200 jumpmin 50 jumpfull 10000 mark 150 corner 60
//	use 0
//	J 0 4000
//	M 100000 4000
//	M 100000 54000
//	use 1
//	M 100000 74000
//	D 100000 79000
//	M 100000 89000
//	D 100000 91000
//	J 0 91000
//	P 500
//	hold
//	G 0 0
//	end 2 4 2 c02a4210
//
// Its first jump, of 0.4 mm, waits 50 + (200 − 50)·0.4 = 110 us, and the square
// corner 60·(1 − 0)/2 = 30 us. All of it takes 24,565 us.
package markvec
