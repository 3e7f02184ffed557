package markvec

import (
	"furrow/emit/machine"
	"furrow/path"
)

// Op is a kind of record.
type Op uint8

// The kinds of record a Reader returns.
const (
	Comment Op = iota // # text
	Setting           // setting N ...
	Use               // use N
	Jump              // J X Y
	Mark              // M X Y
	Move              // D X Y: beam off at the marking speed
	Dot               // P T
	Guide             // G X Y
	Wait              // W T
	Hold              // hold
	End               // end J M D CRC
)

// vector reports whether a record moves or fires the beam, and so needs a
// setting in force.
func (op Op) vector() bool { return op >= Jump && op <= Guide }

// Record is one line of a list, after the three head lines.
type Record struct {
	Op   Op
	Line int    // from 1
	X, Y int32  // tenths of a micrometre: of J, M, D and G
	T    int32  // microseconds: of P and W
	N    uint16 // of setting and use: see Reader.Setting
	Text string // of a comment, without the # and the space after it
}

// limits of the form
const (
	maxLine   = 500       // bytes of a line, its end included
	maxNumber = 999999999 // nine digits
)

// keys are the words of a setting record, in their order.
var keys = [...]string{
	"speed", "jumpspeed", "power", "frequency", "pulse", "on", "off",
	"jump", "jumpmin", "jumpfull", "mark", "corner",
}

// values returns the numbers of a setting record in the order of keys.
func values(s path.Setting, c machine.Scanner) [len(keys)]int64 {
	return [...]int64{
		int64(s.SpeedMMPerS), c.JumpMMPerS, round(s.Power * 10000), int64(s.FrequencyHz), int64(s.PulseNS),
		c.OnUS, c.OffUS, c.JumpUS, c.ShortJumpUS, c.ShortJumpSteps, c.MarkUS, c.CornerUS,
	}
}

// fromValues is the inverse of values.
func fromValues(v [len(keys)]int64) (path.Setting, machine.Scanner) {
	return path.Setting{
			SpeedMMPerS: float64(v[0]), Power: float64(v[2]) / 10000,
			FrequencyHz: float64(v[3]), PulseNS: float64(v[4]),
		}, machine.Scanner{
			JumpMMPerS: v[1], OnUS: v[5], OffUS: v[6], JumpUS: v[7], ShortJumpUS: v[8],
			ShortJumpSteps: v[9], MarkUS: v[10], CornerUS: v[11],
		}
}

// validSetting reports the first value of a setting record that is out of
// range, by its key.
func validSetting(v [len(keys)]int64) (key string, ok bool) {
	for i, k := range keys {
		least, most := int64(0), int64(maxNumber)
		switch k {
		case "speed", "jumpspeed":
			least = 1
		case "power":
			most = 10000
		case "on":
			least = -maxNumber
		}
		if v[i] < least || v[i] > most {
			return k, false
		}
	}
	if (v[3] == 0) != (v[4] == 0) {
		return "pulse", false
	}
	return "", true
}
