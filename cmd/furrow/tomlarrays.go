package main

import (
	"fmt"
	"reflect"
	"slices"
	"strings"

	"github.com/pelletier/go-toml/v2/unstable"
)

// checkArrays refuses an array that is not as long as the one of type t that it
// fills, as in bed_mm = [600, 400, 50]: the decoder drops what is too much and
// takes 0 for what is missing.
func checkArrays(data []byte, t reflect.Type) *keyProblem {
	var p unstable.Parser
	p.Reset(data)
	var table []string
	for p.NextExpression() {
		e := p.Expression()
		words := keyWords(e.Key())
		if e.Kind != unstable.KeyValue {
			table = words
			continue
		}
		key := append(slices.Clone(table), words...)
		if problem := lengthProblem(e.Value(), typeAt(t, key)); problem != "" {
			return &keyProblem{strings.Join(key, "."), problem}
		}
	}
	return nil
}

// lengthProblem words what is wrong with the length of an array, or of one in it.
func lengthProblem(value *unstable.Node, t reflect.Type) string {
	t = element(t)
	if t == nil || value.Kind != unstable.Array || t.Kind() != reflect.Array && t.Kind() != reflect.Slice {
		return ""
	}
	n := 0
	for it := value.Children(); it.Next(); n++ {
		if problem := lengthProblem(it.Node(), t.Elem()); problem != "" {
			return problem
		}
	}
	if t.Kind() == reflect.Array && n != t.Len() {
		return fmt.Sprintf("%s, where %d belong", plural(n, "value"), t.Len())
	}
	return ""
}

// typeAt returns the type of a key in the struct t, nil where it has none.
func typeAt(t reflect.Type, key []string) reflect.Type {
	for _, word := range key {
		t = element(t)
		for t != nil && t.Kind() == reflect.Slice { // an array of tables
			t = element(t.Elem())
		}
		if t == nil || t.Kind() != reflect.Struct {
			return nil
		}
		t = fieldType(t, word)
	}
	return t
}

func fieldType(t reflect.Type, word string) reflect.Type {
	for _, f := range reflect.VisibleFields(t) {
		tag, _, _ := strings.Cut(f.Tag.Get("toml"), ",")
		if tag != "" && strings.EqualFold(tag, word) { // as the decoder matches them
			return f.Type
		}
	}
	return nil
}

// element returns what a pointer points to, and any other type as it is.
func element(t reflect.Type) reflect.Type {
	if t != nil && t.Kind() == reflect.Pointer {
		return t.Elem()
	}
	return t
}
