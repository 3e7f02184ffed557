package main

import (
	"io/fs"
	"os"

	"github.com/tdewolff/font"
)

// fontFolders opens the folders named and then those where the system keeps its
// fonts. What is not there has no fonts.
func fontFolders(named []string) []fs.FS {
	var dirs []fs.FS
	for _, dir := range append(named[:len(named):len(named)], font.DefaultFontDirs()...) {
		dirs = append(dirs, os.DirFS(dir))
	}
	return dirs
}
