package main

import (
	"testing"

	"furrow/cmd/furrow/internal/settings"
	"furrow/emit"

	"github.com/stretchr/testify/assert"
)

// A picture of a file without its profile says what it does not know.
func TestCaptionTellsGuesses(t *testing.T) {
	gantry := checked{written: written{format: formatGCode}}
	galvo := checked{written: written{format: formatMarkvec, moves: emit.Moves{Header: emit.Header{Corrected: true}}}}
	const width, latency, lens = "no machine profile: mark width of 0.1 mm is a guess", "latency of the beam is left out", "places are as corrected for a lens"
	assert.Equal(t, []string{width, latency}, gantry.guesses(0))
	assert.Equal(t, []string{latency}, gantry.guesses(0.2))
	assert.Equal(t, []string{width, lens}, galvo.guesses(0))
	assert.Equal(t, []string{lens}, galvo.guesses(0.2))
	galvo.machine = &settings.Machine{}
	assert.Empty(t, galvo.guesses(0))
}
