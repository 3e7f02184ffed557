// Package settings reads and writes strict, commented TOML, tells the line of a key,
// and keeps the settings folder with machines and recipes.
package settings
