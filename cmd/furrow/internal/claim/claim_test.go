package claim_test

import (
	"bufio"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"furrow/cmd/furrow/internal/claim"
	_ "furrow/path/overtime"

	"github.com/stretchr/testify/require"
)

// A claim is one process's until it is given up, or the process is killed.
func TestClaimIsOneProcess(t *testing.T) {
	if name := os.Getenv("FURROW_TEST_CLAIM"); name != "" {
		_, err := claim.Lay(name)
		require.NoError(t, err)
		os.Stdout.WriteString("laid\n")
		select {}
	}
	name := filepath.Join(t.TempDir(), "one.lock")
	c := exec.Command(os.Args[0], "-test.run=^TestClaimIsOneProcess$")
	c.Env = append(os.Environ(), "FURROW_TEST_CLAIM="+name)
	out, err := c.StdoutPipe()
	require.NoError(t, err)
	require.NoError(t, c.Start())
	_, err = bufio.NewReader(out).ReadString('\n')
	require.NoError(t, err)
	_, err = claim.Lay(name)
	require.ErrorIs(t, err, claim.ErrTaken)
	require.NoError(t, c.Process.Kill())
	c.Wait()
	own, err := claim.Lay(name)
	require.NoError(t, err)
	_, err = claim.Lay(name)
	require.ErrorIs(t, err, claim.ErrTaken)
	require.NoError(t, own.Close())
	again, err := claim.Lay(name)
	require.NoError(t, err)
	require.NoError(t, again.Close())
	_, err = claim.Lay(filepath.Join(name, "none"))
	require.Error(t, err)
	require.NotErrorIs(t, err, claim.ErrTaken, "none can be laid there")
}
