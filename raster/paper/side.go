package paper

import "image"

// Card is a picture with lines above it: the first one bold.
type Card struct {
	Lines []string
	Image func() (image.Image, error)
	W, H  float64 // of the image, mm
}

// beside is left free between cards, mm.
const beside = 6

// leastText is how wide a card gets for its lines, where its image is narrower, mm.
const leastText = 40

// Cards draws cards side by side, as many in a row as fit, and begins a new page
// where a row does not fit. Lines wider than their card are broken.
func (d *Document) Cards(cards []Card) {
	room, _ := d.size.Room()
	for len(cards) > 0 {
		n, wide := 1, d.cardWidth(cards[0])
		for n < len(cards) && wide+beside+d.cardWidth(cards[n]) <= room {
			wide += beside + d.cardWidth(cards[n])
			n++
		}
		d.cardRow(cards[:n])
		cards = cards[n:]
	}
}

// cardWidth returns that of the image, or what the lines want of leastText.
func (d *Document) cardWidth(c Card) float64 {
	w := c.W
	for i, l := range c.Lines {
		w = max(w, min(leastText, d.cardFace(i).width(d.cardFace(i).printable(l))))
	}
	return w
}

// cardFace is that of a card's line.
func (d *Document) cardFace(line int) face {
	if line == 0 {
		return d.in(bold)
	}
	return d.in(body)
}

// cardLines breaks the lines of a card, at most so many; what is left out then is told.
func (d *Document) cardLines(c Card, most int) (all []print) {
	wide := d.cardWidth(c)
	for i, l := range c.Lines {
		for _, text := range wrap(l, d.cardFace(i), wide) {
			all = append(all, print{text: text, face: d.cardFace(i)})
		}
	}
	if len(all) > most {
		all = all[:most]
		last := &all[most-1]
		last.text = fit(last.text+" \u2026", last.face, wide)
	}
	return all
}

func (d *Document) cardRow(row []Card) {
	_, room := d.size.Room()
	high := 0.0
	for _, c := range row {
		high = max(high, c.H)
	}
	most := max(1, int((room-high-2)/body.line()))
	texts, lines := make([][]print, len(row)), 0
	for i, c := range row {
		texts[i] = d.cardLines(c, most)
		lines = max(lines, len(texts[i]))
	}
	d.need(float64(lines)*body.line() + high + 2)
	x := float64(margin)
	for i, c := range row {
		for k, p := range texts[i] {
			p.x, p.y = x, d.y+float64(k)*body.line()
			d.add(p)
		}
		d.add(picture{x: x, y: d.y + float64(lines)*body.line() + 1, w: c.W, h: c.H, img: c.Image, doc: d})
		x += d.cardWidth(c) + beside
	}
	d.y += float64(lines)*body.line() + high + 3
}
