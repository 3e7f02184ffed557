package text

// Varied returns where a font stands on its axes: 1 is their end, 0 where they begin.
func Varied(f *Face) (list []float64) {
	for _, c := range f.face.Coords() {
		list = append(list, float64(c)/(1<<14))
	}
	return list
}
