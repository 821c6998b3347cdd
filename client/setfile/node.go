package setfile

import (
	"fmt"
	"strings"

	"go.yaml.in/yaml/v4"

	"turnrow/client/nearest"
	"turnrow/client/safetext"
	"turnrow/sync/entry"
	"turnrow/sync/units"
)

// Problem is what is wrong with a set file, and where.
type Problem struct {
	File         string
	Line, Column int // from 1; 0 where the whole file is meant
	What         string
	cause        error
}

// Error gives file, line and column before what is wrong.
func (p *Problem) Error() string {
	if p.Line == 0 {
		return p.File + ": " + p.What
	}
	return fmt.Sprintf("%s:%d:%d: %s", p.File, p.Line, p.Column, p.What)
}

// Unwrap gives the error that a quantity, or an entry, was refused with.
func (p *Problem) Unwrap() error { return p.cause }

// node is a place in the file.
type node struct {
	*yaml.Node
	file string
}

func (n node) refuse(format string, args ...any) error {
	return &Problem{File: n.file, Line: n.Line, Column: n.Column, What: fmt.Sprintf(format, args...)}
}

// wrap gives another error the node's place.
func (n node) wrap(err error) error {
	if err == nil {
		return nil
	}
	return &Problem{File: n.file, Line: n.Line, Column: n.Column, What: err.Error(), cause: err}
}

func (n node) child(i int) node {
	c := n.Content[i]
	if c.Kind == yaml.AliasNode {
		c = c.Alias
	}
	return node{c, n.file}
}

// key is a key that a mapping may have, and how its value is read.
type key struct {
	name string
	read func(node) error
}

// keys reads a mapping: each of its keys must be known and stand there once.
func (n node) keys(what string, known ...key) error {
	if n.Kind != yaml.MappingNode {
		return n.refuse("%s is written as keys and values, such as {%s: ..}", what, known[0].name)
	}
	lines := map[string]int{}
	for i := 0; i+1 < len(n.Content); i += 2 {
		name := n.child(i)
		if first := lines[name.Value]; first > 0 {
			return name.refuse("key %q stands twice in %s: first on line %d; leave one out", name.Value, what, first)
		}
		lines[name.Value] = name.Line
		k, err := name.find(what, known)
		if err != nil {
			return err
		}
		if err := k.read(n.child(i + 1)); err != nil {
			return err
		}
	}
	return nil
}

func (n node) find(what string, known []key) (key, error) {
	names := make([]string, len(known))
	for i, k := range known {
		if n.Kind == yaml.ScalarNode && k.name == n.Value {
			return k, nil
		}
		names[i] = k.name
	}
	return key{}, n.refuse("unknown key %q in %s; %s", n.Value, what, nearest.Hint(n.Value, "keys", names))
}

// items reads a list, item by item.
func (n node) items(what string, read func(node) error) error {
	if n.Kind != yaml.SequenceNode {
		return n.refuse("%s is a list: write each item after a dash, or all within [ ], such as [first, second]", what)
	}
	if len(n.Content) > entry.MaxPoints {
		return n.refuse("%s has %d items: at most %d are read", what, len(n.Content), entry.MaxPoints)
	}
	for i := range n.Content {
		if err := read(n.child(i)); err != nil {
			return err
		}
	}
	return nil
}

// word is the text of a plain value, as it was written.
func (n node) word() (string, error) {
	switch {
	case n.Kind != yaml.ScalarNode:
		return "", n.refuse("one plain value is wanted here, not a list or keys: 7.5 ac, not [7.5 ac]")
	case n.Tag == "!!null" || strings.TrimSpace(n.Value) == "":
		return "", n.refuse("a value is missing here: write one, or leave its key out")
	}
	if err := safetext.Check(n.Value); err != nil {
		return "", n.wrap(err)
	}
	return strings.TrimSpace(n.Value), nil
}

// text reads a plain value.
func text(dst *string) func(node) error {
	return func(n node) (err error) {
		*dst, err = n.word()
		return err
	}
}

// optional reads a plain value into a field that may be left out.
func optional[T any](dst *entry.Opt[T], parse func(string) (T, error)) func(node) error {
	return func(n node) error {
		w, err := n.word()
		if err != nil {
			return err
		}
		v, err := parse(w)
		if err != nil {
			return n.wrap(err)
		}
		*dst = entry.Some(v)
		return nil
	}
}

// quantity reads a quantity with its unit.
func quantity[T any](dst *entry.Opt[T], parse func(string, ...units.Option) (T, error), opts ...units.Option) func(node) error {
	return optional(dst, func(s string) (T, error) { return parse(s, opts...) })
}

// wording reads a field of text; "none" takes the text away.
func wording(dst *entry.Opt[string]) func(node) error {
	return optional(dst, func(s string) (string, error) {
		if s == "none" {
			return "", nil
		}
		return s, nil
	})
}

func yes(dst *bool) func(node) error {
	return func(n node) error {
		w, err := n.word()
		if err != nil {
			return err
		}
		switch strings.ToLower(w) {
		case "true", "yes":
			*dst = true
		case "false", "no":
			*dst = false
		default:
			return n.refuse("%q is neither yes nor no: write one of them", w)
		}
		return nil
	}
}
