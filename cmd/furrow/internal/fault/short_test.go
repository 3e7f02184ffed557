package fault_test

import (
	"bytes"
	"strings"
	"testing"

	"furrow/cmd/furrow/internal/fault"

	"github.com/stretchr/testify/require"
)

// A message stays short whatever the input, and a path as long as one may be stays whole.
func TestMessagesStayShort(t *testing.T) {
	var b bytes.Buffer
	fault.Say(&b, "error", "unknown key "+strings.Repeat("é", 1_000_000)+" in job.toml")
	require.Less(t, b.Len(), 800)
	require.Contains(t, b.String(), "furrow: error: unknown key éé")
	require.Contains(t, b.String(), "éé...éé")
	require.Contains(t, b.String(), "é in job.toml\n")

	b.Reset()
	fault.Say(&b, "error", strings.Repeat("a word ", 100_000))
	require.Less(t, b.Len(), 9000)

	path := strings.Repeat("f", 250) + "/tag.svg"
	require.Equal(t, "no file "+path, fault.Short("no file "+path))
}
