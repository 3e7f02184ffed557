// Package value holds the values that are written the same way on the command line
// and in a settings file: each is a pflag.Value and a text unmarshaler, nil until
// somebody gives it, with the range of what is taken for meant.
package value
