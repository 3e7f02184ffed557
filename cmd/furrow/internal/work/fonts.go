package work

import (
	"io/fs"
	"os"

	"furrow/cmd/furrow/internal/fault"

	"github.com/tdewolff/font"
)

// FontFolders opens the folders named and then those where the system keeps its
// fonts. One named must be there; what the system lacks has no fonts.
func FontFolders(named []string) ([]fs.FS, error) {
	for _, dir := range named {
		if info, err := os.Stat(dir); err != nil || !info.IsDir() {
			return nil, fault.Usagef("fonts: no folder %q", dir).
				Hintf("check the name; it is a folder that is named, not a font")
		}
	}
	var dirs []fs.FS
	for _, dir := range append(named[:len(named):len(named)], font.DefaultFontDirs()...) {
		dirs = append(dirs, os.DirFS(dir))
	}
	return dirs, nil
}
