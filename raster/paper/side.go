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

// Cards draws cards side by side, as many in a row as fit, and begins a new page
// where a row does not fit.
func (d *Document) Cards(cards []Card) {
	room, _ := d.size.Room()
	for len(cards) > 0 {
		n, wide := 1, cards[0].W
		for n < len(cards) && wide+beside+cards[n].W <= room {
			wide += beside + cards[n].W
			n++
		}
		d.cardRow(cards[:n])
		cards = cards[n:]
	}
}

func (d *Document) cardRow(row []Card) {
	lines, high := 0, 0.0
	for _, c := range row {
		lines, high = max(lines, len(c.Lines)), max(high, c.H)
	}
	d.need(float64(lines)*body.line() + high + 2)
	x := float64(margin)
	for _, c := range row {
		for i, l := range c.Lines {
			f := d.in(body)
			if i == 0 {
				f = d.in(bold)
			}
			d.add(print{x: x, y: d.y + float64(i)*body.line(), text: fit(l, f, c.W), face: f})
		}
		d.add(picture{x: x, y: d.y + float64(lines)*body.line() + 1, w: c.W, h: c.H, img: c.Image, doc: d})
		x += c.W + beside
	}
	d.y += float64(lines)*body.line() + high + 3
}
