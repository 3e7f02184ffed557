package view

import (
	"testing"

	"furrow/cmd/furrow/internal/figures"
	"furrow/cmd/furrow/internal/proof"
	"furrow/cmd/furrow/internal/settings"
	"furrow/emit"

	"github.com/stretchr/testify/assert"
)

// A picture of a file without its profile says what it does not know.
func TestCaptionTellsGuesses(t *testing.T) {
	gantry := proof.File{Format: figures.GCode}
	galvo := proof.File{Format: figures.Markvec, Moves: emit.Moves{Header: emit.Header{Corrected: true}}}
	const width, latency, lens = "no machine profile: mark width of 0.1 mm is a guess",
		"latency of the beam is left out", "places are as corrected for a lens"
	assert.Equal(t, []string{width, latency}, Guesses(gantry, 0))
	assert.Equal(t, []string{latency}, Guesses(gantry, 0.2))
	assert.Equal(t, []string{width, lens}, Guesses(galvo, 0))
	assert.Equal(t, []string{lens}, Guesses(galvo, 0.2))
	galvo.Machine = &settings.Machine{}
	assert.Empty(t, Guesses(galvo, 0))
}
