package main

import (
	"fmt"
	"os"
	"path"
	"path/filepath"
	"slices"
	"testing/fstest"

	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/order"
	"furrow/cmd/furrow/internal/words"
)

// isFont reports that an input is a font.
func isFont(k order.Kept) bool { return k.Role == order.Font }

// isThere reports that an input is a font that there is.
func isThere(k order.Kept) bool { return isFont(k) && k.Data != nil }

// fontsOf are the fonts among inputs: a letter is set from the file that it was set from.
func fontsOf(use []order.Kept) *job.Fonts {
	all := fstest.MapFS{} // the standard library's file system in memory, which imports no testing
	for i, k := range use {
		if isThere(k) {
			all[keptFont(i, k)] = &fstest.MapFile{Data: k.Data}
		}
	}
	if len(all) == 0 {
		return new(job.Fonts)
	}
	return &job.Fonts{Kept: all}
}

// keptFont is how an input is called among them, in the sequence of all.
func keptFont(i int, k order.Kept) string {
	return fmt.Sprintf("%04d/%s", i, path.Base(filepath.ToSlash(k.Name)))
}

// withFonts returns inputs with the fonts that were used in place of those that they have.
func withFonts(kept []order.Kept, used []job.FontFile) []order.Kept {
	all := slices.DeleteFunc(slices.Clone(kept), isFont)
	for _, f := range used {
		k := order.Kept{Role: order.Font, Name: f.Name, Data: f.Data}
		for i, had := range kept {
			if f.Kept && isFont(had) && filepath.ToSlash(f.Name) == keptFont(i, had) {
				k = had
			}
		}
		all = append(all, k)
	}
	return all
}

// fontsToday are the fonts that an order keeps, as they are now; without data where they are
// no more.
func fontsToday(kept []order.Kept) (now []order.Kept) {
	for _, k := range kept {
		if isFont(k) {
			k.Data, _ = os.ReadFile(k.Name)
			now = append(now, k)
		}
	}
	return now
}

// foldersThere are those that are there: what an order keeps of the others stands in for them.
func foldersThere(dirs []string) []string {
	return slices.DeleteFunc(slices.Clone(dirs), func(dir string) bool {
		info, err := os.Stat(dir)
		return err != nil || !info.IsDir()
	})
}

// tellFonts says which letters are set from files that an order does not keep.
func tellFonts(a *app, old order.Old, use []order.Kept, used []job.FontFile) {
	var other []string
	for _, f := range used {
		if !f.Kept {
			other = append(other, f.Name)
		}
	}
	said := "letters are set from " + words.And(other) + " too, which the order does not keep"
	switch _, keeps := old.Input(order.Font); {
	case len(other) == 0 || keeps && !slices.ContainsFunc(use, isThere): // today's were asked for
		return
	case !keeps:
		said = "the order keeps none: letters are set from today's, " + words.And(other)
	}
	fmt.Fprintf(a.notes, "%-12s %s\n", "fonts", said)
}
