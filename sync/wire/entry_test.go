package wire_test

import (
	"bytes"
	"crypto/ed25519"
	"fmt"
	"math/rand/v2"
	"reflect"
	"testing"

	"google.golang.org/protobuf/encoding/protowire"
	"google.golang.org/protobuf/proto"

	turnrowv1 "turnrow/proto/turnrow/v1"
	"turnrow/sync/chain"
	"turnrow/sync/entry"
	"turnrow/sync/hlc"
	"turnrow/sync/wire"
)

var (
	devA = entry.DeviceID{0: 1, 6: 0x70, 8: 0x80, 15: 1}
	devB = entry.DeviceID{0: 2, 6: 0x70, 8: 0x80, 15: 2}
	farm = entry.FarmID{0: 9}
)

// fill puts random values into v, within small ranges; some then fail Check
// and are made again by the caller.
func fill(r *rand.Rand, v reflect.Value) {
	switch v.Kind() {
	case reflect.Struct:
		switch v.Interface().(type) {
		case entry.ID:
			v.Set(reflect.ValueOf(entry.ID{Log: devB.Log(), Seq: 1 + r.Uint64N(40)}))
			return
		}
		for i := range v.NumField() {
			fill(r, v.Field(i))
		}
	case reflect.Int64:
		v.SetInt(r.Int64N(60))
	case reflect.Uint8, reflect.Uint16, reflect.Uint64:
		v.SetUint(r.Uint64N(5))
	case reflect.Bool:
		v.SetBool(r.IntN(2) == 0)
	case reflect.String:
		v.SetString([]string{"", "bench", "Ladino «white»", "left side"}[r.IntN(4)])
	case reflect.Array:
		for i := range v.Len() {
			v.Index(i).SetUint(r.Uint64N(256))
		}
	case reflect.Slice:
		n := r.IntN(4)
		if n == 0 {
			return
		}
		v.Set(reflect.MakeSlice(v.Type(), n, n))
		for i := range n {
			fill(r, v.Index(i))
		}
	case reflect.Interface:
		inner := new(entry.Filled)
		fill(r, reflect.ValueOf(inner).Elem())
		v.Set(reflect.ValueOf(inner))
	}
}

// clearUnset puts Opt values that are not set back to zero, as reading leaves
// them.
func clearUnset(v reflect.Value) {
	switch v.Kind() {
	case reflect.Pointer, reflect.Interface:
		if !v.IsNil() {
			clearUnset(v.Elem())
		}
	case reflect.Struct:
		if s := v.FieldByName("Set"); s.IsValid() && s.Kind() == reflect.Bool && !s.Bool() {
			v.Set(reflect.Zero(v.Type()))
			return
		}
		for i := range v.NumField() {
			clearUnset(v.Field(i))
		}
	case reflect.Slice:
		for i := range v.Len() {
			clearUnset(v.Index(i))
		}
	}
}

func randomBody(r *rand.Rand, k entry.Kind) entry.Body {
	for range 100_000 {
		b := entry.New(k)
		v := reflect.ValueOf(b).Elem()
		fill(r, v)
		for i := range v.NumField() { // fields that say one thing in two ways exclude each other
			if r.IntN(3) == 0 {
				v.Field(i).SetZero()
			}
		}
		clearUnset(reflect.ValueOf(b))
		if ring, ok := b.(*entry.GroundSet); ok {
			for i := range ring.Boundary {
				ring.Boundary[i] = entry.Ring{0, 0, 1, 0, 1, 1}
			}
		}
		if b.Check() == nil {
			return b
		}
	}
	panic(fmt.Sprintf("no valid %s found", k))
}

func headWithB() chain.Head {
	h := chain.Start(farm, devA, entry.Key{1})
	h.Peers, h.Seen = append(h.Peers, devB.Log()), append(h.Seen, 40)
	return h
}

// Every body reads back as it was written, and its bytes are the very bytes
// that the protocol buffer library writes for the schema's message (the
// reference implementation of the encoding).
func TestEveryBodyAgainstTheSchema(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for k := range entry.Kinds() {
		for i := range 200 {
			b := randomBody(r, k)
			head := headWithB()
			head.Clock = hlc.Time(1000 << 16)
			back := head.Clone()
			raw, err := wire.Encode(&head, entry.Draft{
				Clock: head.Clock + hlc.Time(r.Uint64N(1<<40)) + 1, Wall: r.Int64N(5000), Body: b,
				Person: entry.ID{Log: devB.Log(), Seq: 3}, Seen: []entry.Mark{{Log: devB.Log(), Seq: 41 + r.Uint64N(9), Hash: entry.Brief{byte(i)}}},
			})
			if err != nil {
				t.Fatalf("%s: %v\n%+v", k, err, b)
			}
			e, err := wire.Decode(&back, raw)
			if err != nil {
				t.Fatalf("%s: %v", k, err)
			}
			if !reflect.DeepEqual(e.Body, b) {
				t.Fatalf("%s:\n wrote %+v\n read  %+v", k, b, e.Body)
			}
			if head.Advance(raw); e.Hash != head.Hash.Brief() {
				t.Fatalf("%s: another hash", k)
			}
			if !reflect.DeepEqual(head, back) {
				t.Fatalf("%s: heads differ:\n%+v\n%+v", k, head, back)
			}
			var m turnrowv1.Entry
			if err := proto.Unmarshal(raw, &m); err != nil {
				t.Fatalf("%s: the schema does not read it: %v", k, err)
			}
			if len(m.ProtoReflect().GetUnknown()) > 0 || m.Body == nil {
				t.Fatalf("%s: the schema does not know all of it", k)
			}
			again, err := proto.MarshalOptions{Deterministic: true}.Marshal(&m)
			if err != nil || !bytes.Equal(raw, again) {
				t.Fatalf("%s %d: bytes differ from the library's (%v)\n ours   %x\n theirs %x", k, i, err, raw, again)
			}
		}
	}
}

func FuzzDecode(f *testing.F) {
	r := rand.New(rand.NewPCG(3, 4))
	for k := range entry.Kinds() {
		h := headWithB()
		raw, err := wire.Encode(&h, entry.Draft{Clock: 1 << 20, Body: randomBody(r, k)})
		if err != nil {
			f.Fatal(err)
		}
		f.Add(raw)
	}
	f.Fuzz(func(t *testing.T, raw []byte) {
		h := headWithB()
		before := h.Clone()
		e, err := wire.Decode(&h, raw)
		if err != nil {
			if !reflect.DeepEqual(h, before) {
				t.Fatalf("a refused entry moved the head:\n%+v\n%+v", before, h)
			}
			return
		}
		if e.Seq != 1 || e.Body == nil || h.Seq != 1 {
			t.Fatalf("decoded to %+v, head %+v", e, h)
		}
		if _, ok := e.Body.(*entry.Unknown); !ok && e.Body.Check() != nil {
			t.Fatalf("a body out of range was taken in: %+v", e.Body)
		}
	})
}

func sealedRun(t *testing.T, n int) (entry.Run, chain.Head, ed25519.PrivateKey) {
	t.Helper()
	pub, priv, err := ed25519.GenerateKey(rand.NewChaCha8([32]byte{7}))
	if err != nil {
		t.Fatal(err)
	}
	start := chain.Start(farm, devA, entry.Key(pub))
	h := start.Clone()
	run := entry.Run{Device: devA, First: 1}
	for i := range n {
		raw, err := wire.Encode(&h, entry.Draft{Clock: hlc.Time(i+1) << 20, Body: &entry.Noted{Text: "looked at the boxes"}})
		if err != nil {
			t.Fatal(err)
		}
		h.Advance(raw)
		run.Entries = append(run.Entries, raw)
	}
	run.Sig = entry.Sign(priv, h.Hash)
	return run, start, priv
}

// A run that was altered, reordered, cut, or moved to another farm or device
// is refused, and one that is whole is taken.
func TestOpenRefusesWhatWasNotSigned(t *testing.T) {
	whole, start, _ := sealedRun(t, 5)
	cases := []struct {
		name string
		head func(*chain.Head)
		run  func(*entry.Run)
		ok   bool
	}{
		{name: "whole", ok: true},
		{name: "altered", run: func(r *entry.Run) { r.Entries[2] = append([]byte{}, r.Entries[2]...); r.Entries[2][8] ^= 1 }},
		{name: "reordered", run: func(r *entry.Run) { r.Entries[1], r.Entries[2] = r.Entries[2], r.Entries[1] }},
		{name: "cut", run: func(r *entry.Run) { r.Entries = r.Entries[:4] }},
		{name: "lengthened", run: func(r *entry.Run) { r.Entries = append(r.Entries, r.Entries[0]) }},
		{name: "gap", run: func(r *entry.Run) { r.First = 2 }},
		{name: "number 0", run: func(r *entry.Run) { r.First = 0 }},
		{name: "empty", run: func(r *entry.Run) { r.Entries = nil }},
		{name: "another farm", head: func(h *chain.Head) { *h = chain.Start(entry.FarmID{8}, devA, h.Key) }},
		{name: "another device", run: func(r *entry.Run) { r.Device = devB }},
		{name: "another key", head: func(h *chain.Head) { h.Key[0] ^= 1 }},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			run, head := whole, start.Clone()
			run.Entries = append([][]byte{}, whole.Entries...)
			if c.run != nil {
				c.run(&run)
			}
			if c.head != nil {
				c.head(&head)
			}
			_, next, es, err := wire.Open(head, run, nil)
			if (err == nil) != c.ok {
				t.Fatalf("error %v", err)
			}
			if c.ok && (len(es) != 5 || next.Seq != 5) || !c.ok && len(es) != 0 {
				t.Fatalf("%d entries read, head at %d", len(es), next.Seq)
			}
		})
	}
}

// A body within an amendment whose number is a known kind's but for what goes
// beyond 16 bits is of a version to come, and kept as such.
func TestBodyWithinOfAKindToCome(t *testing.T) {
	amended := &entry.Amended{Entry: entry.ID{Log: devB.Log(), Seq: 3}, Why: "misread", Body: &entry.Noted{Text: "gate open"}}
	head := headWithB()
	head.Clock = hlc.Time(1000 << 16)
	now := head.Clone()
	raw, err := wire.Encode(&head, entry.Draft{Clock: head.Clock + 1, Body: amended})
	if err != nil {
		t.Fatal(err)
	}
	within := protowire.AppendTag(nil, protowire.Number(100+int(entry.KindNoted)), protowire.BytesType)
	beyond := protowire.AppendTag(nil, protowire.Number(100+int(entry.KindNoted)+1<<16), protowire.BytesType)
	own := protowire.AppendTag(nil, protowire.Number(entry.KindAmended), protowire.BytesType)
	at := bytes.Index(raw, own) + len(own) // a byte of length follows
	if at < len(own) || bytes.Count(raw, within) != 1 {
		t.Fatalf("not the bytes that this test takes apart: %x", raw)
	}
	crafted := bytes.Replace(raw, within, beyond, 1)
	crafted[at] += byte(len(beyond) - len(within))
	before := now.Clone()
	if e, err := wire.Decode(&before, raw); err != nil || !reflect.DeepEqual(e.Body, amended) {
		t.Fatalf("as it was written: %+v, %v", e.Body, err)
	}
	e, err := wire.Decode(&now, crafted)
	if u, ok := e.Body.(*entry.Unknown); err != nil || !ok || u.Num != entry.KindAmended {
		t.Errorf("%+v, %v", e.Body, err)
	}
}
