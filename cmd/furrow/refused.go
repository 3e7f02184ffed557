package main

import (
	"errors"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/settings"
	"furrow/emit"
)

// refused is for moves that the machine cannot make.
func refused(err error) *fault.Failure {
	f := fault.Workf("%w", err)
	var fe *emit.FieldError
	if errors.As(err, &fe) {
		f.Hint = settings.FieldHint(fe)
	}
	return f
}
