package work

import (
	"io/fs"
	"os"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/job"

	"github.com/tdewolff/font"
)

// FontFolders opens the folders named and then those where the system keeps its
// fonts. One named must be there; what the system lacks has no fonts. What is read of them is
// noted, unless notes is nil.
func FontFolders(named []string, notes *job.Fonts) ([]fs.FS, error) {
	for _, dir := range named {
		if info, err := os.Stat(dir); err != nil || !info.IsDir() {
			return nil, fault.Usagef("fonts: no folder %q", dir).
				Hintf("check the name; it is a folder that is named, not a font")
		}
	}
	return notes.Folders(append(named[:len(named):len(named)], font.DefaultFontDirs()...)...), nil
}
