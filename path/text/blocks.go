package text

import "io"

// blocks reads a file block by block and keeps some: the names of a font are asked for by a hundred
// reads of a few bytes, each of which would be a call of the system's.
type blocks struct {
	file io.ReaderAt
	kept [16]block // block n in place n modulo 16
}

type block struct {
	number int64 // from 1; 0 where there is none
	length int
	err    error // of what lies behind length
	data   [4096]byte
}

// open goes on with another file.
func (b *blocks) open(file io.ReaderAt) {
	b.file = file
	for i := range b.kept {
		b.kept[i].number = 0
	}
}

// ReadAt reads as io.ReaderAt says.
func (b *blocks) ReadAt(p []byte, at int64) (n int, err error) {
	if at < 0 {
		return b.file.ReadAt(p, at)
	}
	for n < len(p) {
		k := b.at(at + int64(n))
		from := int((at + int64(n)) % int64(len(k.data)))
		if from >= k.length {
			return n, k.err
		}
		n += copy(p[n:], k.data[from:k.length])
	}
	return n, nil
}

// at returns the block in which a byte lies.
func (b *blocks) at(byteAt int64) *block {
	number := byteAt/int64(len(block{}.data)) + 1
	k := &b.kept[number%int64(len(b.kept))]
	if k.number != number {
		k.number = number
		k.length, k.err = b.file.ReadAt(k.data[:], (number-1)*int64(len(k.data)))
	}
	return k
}
