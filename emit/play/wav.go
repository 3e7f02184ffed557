package play

import (
	"bufio"
	"encoding/binary"
	"fmt"
	"io"
	"math"

	"furrow/path"
)

// Channels is how many a file of samples has: X, Y, power, gate.
const Channels = 4

// full is the greatest number of a 16-bit channel: an edge of the field, full
// power, an open gate.
const full = math.MaxInt16

// PCM writes samples as little-endian 16-bit numbers, the channels of a sample side
// by side. X and Y run over the field, from -32767 to 32767.
type PCM struct {
	w     io.Writer
	scale path.Point // to a millimetre
	buf   []byte
}

// NewPCM writes to w samples from a field of a width and height, mm.
func NewPCM(w io.Writer, field path.Point) *PCM {
	return &PCM{w: w, scale: path.Point{X: 2 * full / field.X, Y: 2 * full / field.Y}}
}

// Write writes a block.
func (p *PCM) Write(block []Sample) error {
	p.buf = p.buf[:0]
	for i := range block {
		s := &block[i]
		gate := uint16(0)
		if s.Gate {
			gate = full
		}
		x, y, power := level(s.X*p.scale.X), level(s.Y*p.scale.Y), level(s.Power*full)
		p.buf = binary.LittleEndian.AppendUint64(p.buf,
			uint64(x)|uint64(y)<<16|uint64(power)<<32|uint64(gate)<<48)
	}
	_, err := p.w.Write(p.buf)
	return err
}

// level rounds to what a channel holds. Half a level goes to the even one.
func level(v float64) uint16 { return uint16(int16(math.RoundToEven(max(-full, min(full, v))))) }

// WriteWAVHead writes the head of a RIFF/WAVE file with the extensible format,
// before so many samples. A file of 4 GB or more is refused.
func WriteWAVHead(w io.Writer, rate int, samples int64) error {
	const frame, headLen = Channels * 2, 60
	data := samples * frame
	if samples < 0 || data > math.MaxUint32-headLen {
		return fmt.Errorf("%d samples are more than a WAV file of 4 GB holds: ask for fewer a second, or for raw "+
			"samples", samples)
	}
	b := make([]byte, 0, 8+headLen)
	u16 := func(v uint16) { b = binary.LittleEndian.AppendUint16(b, v) }
	u32 := func(v uint32) { b = binary.LittleEndian.AppendUint32(b, v) }
	b = append(b, "RIFF"...)
	u32(uint32(headLen + data))
	b = append(b, "WAVEfmt "...)
	u32(40)
	u16(0xfffe) // extensible
	u16(Channels)
	u32(uint32(rate))
	u32(uint32(rate) * frame)
	u16(frame)
	u16(16)
	u16(22)
	u16(16)
	u32(0) // the channels are no loudspeakers
	// Plain numbers: the sub-format of PCM.
	b = append(b, 1, 0, 0, 0, 0, 0, 0x10, 0, 0x80, 0, 0, 0xaa, 0, 0x38, 0x9b, 0x71)
	b = append(b, "data"...)
	u32(uint32(data))
	_, err := w.Write(b)
	return err
}

// CSV writes samples as lines for people: seconds, X, Y, percent, gate.
type CSV struct {
	w    *bufio.Writer
	rate float64
	n    int64
}

// NewCSV writes the heads and returns what writes the samples.
func NewCSV(w io.Writer, rate int) (*CSV, error) {
	c := &CSV{w: bufio.NewWriter(w), rate: float64(rate)}
	_, err := c.w.WriteString("seconds,x_mm,y_mm,power_percent,gate\n")
	return c, err
}

// Write writes a block.
func (c *CSV) Write(block []Sample) error {
	for _, s := range block {
		gate := 0
		if s.Gate {
			gate = 1
		}
		if _, err := fmt.Fprintf(c.w, "%.7f,%.4f,%.4f,%.2f,%d\n", float64(c.n)/c.rate, s.X+0, s.Y+0, 100*s.Power,
			gate); err != nil {
			return err
		}
		c.n++
	}
	return c.w.Flush()
}
