package main

import (
	"embed"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"strings"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/product"

	"github.com/spf13/pflag"
)

//go:embed demo
var demoFiles embed.FS

const demoFolder = "furrow-demo"

var demoCommand = command{
	name:     "demo",
	synopsis: "[DIR]",
	summary:  "make an example order, from artwork to checked files, in a new folder",
	about: `Tree tags for an invented arboretum, on the example CO2 gantry and the example
fibre galvo: hatch, check and preview, each command shown as you would type it.
The settings are examples, proved on no material. DIR is ` + demoFolder + ` by default.`,
	example: "furrow demo",
	setup: func(fs *pflag.FlagSet) runner {
		force := fs.Bool("force", false, "overwrite what is there")
		return func(a *app, args []string) error {
			dir := demoFolder
			if len(args) > 1 {
				return fault.Usagef("one folder at a time, got %s", strings.Join(args, " "))
			}
			if len(args) == 1 {
				dir = args[0]
			}
			return a.demo(dir, *force)
		}
	},
}

// demoSteps are the commands of the demo; @ stands for the folder.
var demoSteps = []string{
	"hatch @/tag-co2.toml -o @/tag-co2.nc",
	"check @/tag-co2.nc --machine example-co2",
	"preview @/tag-co2.nc -o @/tag-co2.png",
	"hatch @/tag-fibre.toml -o @/tag-fibre.mvl",
	"check @/tag-fibre.mvl --machine example-fibre",
	"preview @/tag-fibre.mvl -o @/tag-fibre.png",
	"order @/tags-co2.toml -o @/order-co2",
	"check @/order-co2/load-01.nc --machine example-co2",
	"check @/order-co2/load-02.nc --machine example-co2",
	"order @/tags-fibre.toml -o @/order-fibre",
	"check @/order-fibre/load-01.mvl --machine example-fibre",
	"check @/order-fibre/load-02.mvl --machine example-fibre",
}

func (a *app) demo(dir string, force bool) error {
	// What is asked in the last moment of a step ends the next.
	asked, stop := product.UntilAsked()
	defer stop()
	if err := a.unpackDemo(dir, force); err != nil {
		return err
	}
	for _, step := range demoSteps {
		if asked.Err() != nil {
			return fault.Workf("interrupted: %s holds what was made until then", dir)
		}
		args := strings.Fields(step)
		for i := range args {
			args[i] = strings.Replace(args[i], "@", filepath.ToSlash(dir), 1)
		}
		fmt.Fprintf(a.stdout, "\n$ furrow %s\n", strings.Join(args, " "))
		if force && args[0] != "check" && args[0] != "order" { // an order's folder is written again as it is
			args = append(args, "--force")
		}
		if err := a.dispatch(args); err != nil {
			return fmt.Errorf("furrow %s: %w", strings.Join(args, " "), err)
		}
	}
	_, err := fmt.Fprintf(a.stdout, "\nLook at %s and %s, and at the papers in %s,\n"+
		"then change a job file in %s and run its lines again.\n",
		filepath.Join(dir, "tag-co2.png"), filepath.Join(dir, "tag-fibre.png"), filepath.Join(dir, "order-co2"), dir)
	return err
}

// unpackDemo writes the artwork and job files of the demo into dir.
func (a *app) unpackDemo(dir string, force bool) error {
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return fault.Usagef("%w", err)
	}
	entries, err := fs.ReadDir(demoFiles, "demo")
	if err != nil {
		return err
	}
	for _, e := range entries {
		data, err := demoFiles.ReadFile(path.Join("demo", e.Name()))
		if err != nil {
			return err
		}
		out := product.Output{Path: filepath.Join(dir, e.Name()), Force: force}
		if err := out.Check(); err != nil {
			return err
		}
		if err := out.WriteBytes(a.stdout, data); err != nil {
			return err
		}
		fmt.Fprintf(a.stdout, "wrote %s\n", out.Path)
	}
	return nil
}
