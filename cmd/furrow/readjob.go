package main

import (
	"bufio"
	"bytes"
	"path/filepath"
	"strings"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/settings"
)

// readJob reads a job file, or makes the job of a bare piece of artwork. What
// comes from standard input is artwork if it begins as XML does.
func (a *app) readJob(name string) (job.Job, error) {
	if name == "-" {
		in := bufio.NewReader(a.stdin)
		a.stdin = in
		if beginsAsXML(in) {
			return job.Job{Furrow: 1, Artwork: job.Artwork{File: name}}, nil
		}
		data, err := settings.ReadAll("standard input", in)
		if err != nil {
			return job.Job{}, err
		}
		return job.Parse("standard input", data)
	}
	if err := notArtwork(name); err != nil {
		return job.Job{}, err
	}
	if !strings.EqualFold(filepath.Ext(name), ".toml") {
		return job.Job{Furrow: 1, Artwork: job.Artwork{File: name}}, nil
	}
	data, err := settings.ReadFile(name)
	if err != nil {
		return job.Job{}, err
	}
	return job.Parse(name, data)
}

// notArtwork refuses what is named like another file of a shop's: before it is asked what
// machine and settings its marks are to have.
func notArtwork(name string) error {
	switch ext := strings.ToLower(filepath.Ext(name)); {
	case isWritten(name):
		return fault.Usagef("%s is a file for a controller, not artwork", name).
			Hintf("furrow check reads it back, furrow preview draws it")
	case ext == ".csv" || ext == ".xlsx":
		return fault.Usagef("%s is a table, not artwork", name).
			Hintf("a job file names it under [data]: furrow help jobs")
	case ext == ".dxf" || ext == ".eps":
		return fault.Usagef("%s is no SVG", name).Hintf("have the program that drew it save it as SVG")
	}
	return nil
}

// beginsAsXML looks at what comes next, which may be nothing.
func beginsAsXML(in *bufio.Reader) bool {
	head, _ := in.Peek(512)
	head = bytes.TrimSpace(bytes.TrimPrefix(head, []byte("\xef\xbb\xbf")))
	return len(head) == 0 || head[0] == '<'
}
