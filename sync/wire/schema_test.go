package wire_test

import (
	"fmt"
	"reflect"
	"slices"
	"strings"
	"testing"
	"unicode"

	"google.golang.org/protobuf/reflect/protoreflect"

	turnrowv1 "turnrow/proto/turnrow/v1"
	"turnrow/sync/entry"
)

// shape is how a body shows one of its fields: under which number, and as
// what. It is what the schema must say of that number.
type shape struct {
	num   int
	as    string
	said  bool  // anything but the zero value stands in it
	items shown // of a group: what an item of it shows
}

// shown is what a body shows of itself, in its own order.
type shown []shape

func (s *shown) add(num int, as string, said bool) {
	*s = append(*s, shape{num: num, as: as, said: said})
}

func (s *shown) Int(num int, v *int64)                 { s.add(num, "int64", *v != 0) }
func (s *shown) Uint(num int, v *uint64)               { s.add(num, "uint64 or enum or bool", *v != 0) }
func (s *shown) Text(num int, v *string)               { s.add(num, "string", *v != "") }
func (s *shown) Bytes(num int, v *[]byte)              { s.add(num, "bytes", len(*v) > 0) }
func (s *shown) Ref(num int, v *entry.ID)              { s.add(num, "uint64", !v.IsZero()) }
func (s *shown) OptInt(num int, set *bool, _ *int64)   { s.add(num, "optional int64", *set) }
func (s *shown) OptText(num int, set *bool, _ *string) { s.add(num, "optional string", *set) }
func (s *shown) Texts(num int, v *[]string)            { s.add(num, "repeated string", len(*v) > 0) }
func (s *shown) Refs(num int, v *[]entry.ID)           { s.add(num, "repeated uint64", len(*v) > 0) }

func (s *shown) Ints(num, n int, _ func(), _ func(int) *int64) {
	s.add(num, "repeated int64", n > 0)
}

func (s *shown) Body(base int, b entry.Body) entry.Body {
	s.add(base, "body", b != nil)
	return b
}

// Group shows an item too: its first, or one that is made for it.
func (s *shown) Group(num, n int, grow func(), item func(int, entry.Fields)) {
	s.add(num, "repeated message", n > 0)
	if n == 0 {
		grow()
	}
	item(0, &(*s)[len(*s)-1].items)
}

// schemaType is a schema's field as shown has it.
func schemaType(f protoreflect.FieldDescriptor) string {
	as := f.Kind().String()
	switch {
	case f.IsList():
		return "repeated " + as
	case f.HasPresence() && f.Kind() != protoreflect.MessageKind:
		return "optional " + as
	}
	return as
}

// snake is a field's name in the schema: RowMasses is row_masses.
func snake(name string) string {
	var b strings.Builder
	for i, r := range name {
		if unicode.IsUpper(r) && i > 0 {
			b.WriteByte('_')
		}
		b.WriteRune(unicode.ToLower(r))
	}
	return b.String()
}

// set puts something other than nothing into v.
func set(v reflect.Value) {
	switch v.Kind() {
	case reflect.Struct:
		if f := v.FieldByName("Set"); f.IsValid() {
			f.SetBool(true)
			return
		}
		v.Set(reflect.ValueOf(entry.ID{Log: devB.Log(), Seq: 3}))
	case reflect.Int64:
		v.SetInt(3)
	case reflect.Uint8, reflect.Uint16, reflect.Uint64:
		v.SetUint(1)
	case reflect.Bool:
		v.SetBool(true)
	case reflect.String:
		v.SetString("x")
	case reflect.Array:
		v.Index(0).SetUint(1)
	case reflect.Slice:
		v.Set(reflect.MakeSlice(v.Type(), 1, 1))
	case reflect.Interface:
		v.Set(reflect.ValueOf(&entry.Noted{Text: "x"}))
	default:
		panic("no value for a " + v.Type().String())
	}
}

// said is the numbers under which something stands.
func (s shown) said() (nums []int) {
	for _, f := range s {
		if f.said {
			nums = append(nums, f.num)
		}
	}
	return nums
}

// holdFields holds each field of a Go type, by its name, against the message:
// where only that field says something, the one number under which a body
// shows it is the schema's number of that name, and its type the schema's.
func holdFields(t *testing.T, of reflect.Type, show func(reflect.Value) shown, m protoreflect.MessageDescriptor) {
	t.Helper()
	var all shown
	for _, field := range fieldsOf(of) {
		name := string(m.Name()) + "." + field.Name
		v := reflect.New(of).Elem()
		set(v.FieldByIndex(field.Index))
		all = show(v)
		nums := all.said()
		if len(nums) != 1 {
			t.Errorf("%s is shown under %v: want one number", name, nums)
			continue
		}
		if field.Type.Kind() == reflect.Interface {
			continue // a body within this one: see TestBodiesOfAnAmendment
		}
		f := m.Fields().ByNumber(protoreflect.FieldNumber(nums[0]))
		if f == nil || string(f.Name()) != inSchema(field) {
			t.Errorf("%s is shown under %d, and the schema has another field there, or none", name, nums[0])
		}
	}
	var have []int
	for _, s := range all {
		if have = append(have, s.num); s.as == "body" {
			continue
		}
		f := m.Fields().ByNumber(protoreflect.FieldNumber(s.num))
		if f == nil {
			t.Errorf("%s: the schema lacks %d", m.Name(), s.num)
			continue
		}
		if !slices.Contains(strings.Split(s.as, " or "), schemaType(f)) {
			t.Errorf("%s.%s is %s in the schema, and %s here", m.Name(), f.Name(), schemaType(f), s.as)
		}
		if f.Kind() == protoreflect.MessageKind {
			holdItems(t, of, s.num, show, f.Message())
		}
	}
	for i := range m.Fields().Len() {
		f := m.Fields().Get(i)
		if f.ContainingOneof() != nil && !f.ContainingOneof().IsSynthetic() {
			continue
		}
		if !slices.Contains(have, int(f.Number())) {
			t.Errorf("%s.%s is in the schema only", m.Name(), f.Name())
		}
	}
	if !slices.IsSorted(have) {
		t.Errorf("%s shows its fields in the order %v: want rising", m.Name(), have)
	}
}

// fieldsOf is the fields of a type; those of a mark within it stand for
// themselves.
func fieldsOf(of reflect.Type) (all []reflect.StructField) {
	for i := range of.NumField() {
		f := of.Field(i)
		if f.Type != reflect.TypeFor[entry.Mark]() {
			all = append(all, f)
			continue
		}
		for j := range f.Type.NumField() {
			part := f.Type.Field(j)
			part.Index = []int{i, j}
			all = append(all, part)
		}
	}
	return all
}

// inSchema is a field's name in the schema, which calls the name of a log a device.
func inSchema(f reflect.StructField) string {
	if f.Name == "Log" {
		return "device"
	}
	return snake(f.Name)
}

// holdItems holds what an item of a list shows against its message.
func holdItems(t *testing.T, of reflect.Type, num int, show func(reflect.Value) shown, m protoreflect.MessageDescriptor) {
	t.Helper()
	i := slices.IndexFunc(reflect.VisibleFields(of), func(f reflect.StructField) bool {
		if f.Type == reflect.TypeFor[entry.Mark]() {
			return false
		}
		v := reflect.New(of).Elem()
		set(v.FieldByIndex(f.Index))
		return slices.Contains(show(v).said(), num)
	})
	if i < 0 {
		t.Errorf("no field of %s is shown under %d", of, num)
		return
	}
	field := of.Field(i)
	within := func(item reflect.Value) shown {
		v := reflect.New(of).Elem()
		list := reflect.MakeSlice(field.Type, 1, 1)
		list.Index(0).Set(item)
		v.Field(i).Set(list)
		for _, s := range show(v) {
			if s.num == num {
				return s.items
			}
		}
		return nil
	}
	if item := field.Type.Elem(); item.Kind() == reflect.Struct {
		holdFields(t, item, within, m)
		return
	}
	// A list of lists: an item is one repeated field.
	v := reflect.New(field.Type.Elem()).Elem()
	set(v)
	s, f := within(v), m.Fields().Get(0)
	if m.Fields().Len() != 1 || len(s) != 1 || s[0].num != int(f.Number()) || s[0].as != schemaType(f) {
		t.Errorf("%s: %v shows %+v", m.Name(), field.Type.Elem(), s)
	}
}

// Each field of each kind, and of what is listed within it, has in the schema
// the name, the number and the type that it has here; and the schema has no
// other. The schema is the outside check: its numbers cannot be taken back.
func TestFieldsAreTheSchemas(t *testing.T) {
	for k := range entry.Kinds() {
		body := entry.New(k)
		m, err := messageOf(turnrowv1.File_turnrow_v1_entry_proto.Messages().ByName("Entry"), int(k), k)
		if err != nil {
			t.Error(err)
			continue
		}
		of := reflect.TypeOf(body).Elem()
		if string(m.Name()) != of.Name() {
			t.Errorf("%s is %s in the schema", of.Name(), m.Name())
		}
		holdFields(t, of, func(v reflect.Value) (s shown) {
			into := reflect.New(of)
			into.Elem().Set(v)
			into.Interface().(entry.Body).Fields(&s)
			return s
		}, m)
	}
	if n := oneof(turnrowv1.File_turnrow_v1_entry_proto.Messages().ByName("Entry")).Len(); n != int(entry.LastKind-entry.KindFilled)+1 {
		t.Errorf("the schema has %d kinds of body", n)
	}
}

// messageOf is the message under a number of a message's bodies, which must go
// by the kind's name.
func messageOf(of protoreflect.MessageDescriptor, num int, k entry.Kind) (protoreflect.MessageDescriptor, error) {
	f := oneof(of).ByNumber(protoreflect.FieldNumber(num))
	if f == nil {
		return nil, fmt.Errorf("%s has nothing under %d, for %s", of.Name(), num, k)
	}
	if want := strings.ReplaceAll(k.String(), "-", "_"); string(f.Name()) != want {
		return nil, fmt.Errorf("%s has %s under %d: want %s", of.Name(), f.Name(), num, want)
	}
	return f.Message(), nil
}

func oneof(of protoreflect.MessageDescriptor) protoreflect.FieldDescriptors {
	return of.Oneofs().ByName("body").Fields()
}

// An amendment may hold a body of each kind that is a fact, under 100 and the
// kind's number, and no other.
func TestBodiesOfAnAmendment(t *testing.T) {
	amended := turnrowv1.File_turnrow_v1_words_proto.Messages().ByName("Amended")
	facts := 0
	for k := range entry.Kinds() {
		switch k {
		case entry.KindAmended, entry.KindStruck, entry.KindSettled:
			continue
		}
		facts++
		m, err := messageOf(amended, 100+int(k), k)
		if err != nil {
			t.Error(err)
			continue
		}
		if want := reflect.TypeOf(entry.New(k)).Elem().Name(); string(m.Name()) != want {
			t.Errorf("an amendment of %s holds %s", want, m.Name())
		}
	}
	if n := oneof(amended).Len(); n != facts {
		t.Errorf("an amendment has %d bodies in the schema: want %d", n, facts)
	}
}
