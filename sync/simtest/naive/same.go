package naive

import (
	"reflect"
	"slices"

	"turnrow/sync/entry"
)

// Same says whether two bodies say the same.
func Same(a, b entry.Body) bool { return reflect.DeepEqual(a, b) }

// copied is a body like b whose references can be changed.
func copied(b entry.Body) entry.Body {
	v := reflect.New(reflect.TypeOf(b).Elem())
	v.Elem().Set(reflect.ValueOf(b).Elem())
	c := v.Interface().(entry.Body)
	if p, ok := c.(*entry.PlanSet); ok {
		p.Components = slices.Clone(p.Components)
	}
	return c
}
