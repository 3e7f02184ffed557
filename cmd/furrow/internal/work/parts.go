package work

import (
	"furrow/emit"
	"furrow/emit/machine"
	"furrow/path"
)

// Part is strokes of a program that its file tells apart from those before. It ends
// where the next one begins.
type Part struct {
	First   int              // of its strokes
	Note    string           // what the file says before it
	Hold    bool             // the machine waits for the operator before it
	Profile *machine.Profile // that it is planned with in place of the machine's, or nil
}

// pieces are the parts of the strokes as what is planned one by one.
func (s Strokes) pieces() []emit.Piece {
	all := make([]emit.Piece, len(s.Parts))
	for i, p := range s.Parts {
		end := len(s.Program.Strokes)
		if i+1 < len(s.Parts) {
			end = s.Parts[i+1].First
		}
		all[i] = emit.Piece{
			Program: cut(s.Program, p.First, end), Place: path.Identity, Note: p.Note, Hold: p.Hold, Profile: p.Profile,
		}
	}
	return all
}

// cut returns some of the strokes of a program with the points and settings that they
// use, and no more: each is planned anew whenever the whole is played.
func cut(p path.Program, from, to int) path.Program {
	some := path.Program{ToleranceMM: p.ToleranceMM}
	index := map[uint16]uint16{}
	for i := from; i < to; i++ {
		s := p.Strokes[i]
		n, had := index[s.Setting]
		if !had {
			n = uint16(len(some.Settings))
			index[s.Setting] = n
			some.Settings = append(some.Settings, p.Settings[s.Setting])
		}
		s.Setting = n
		some.Append(s, p.PointsOf(i)...)
	}
	return some
}
