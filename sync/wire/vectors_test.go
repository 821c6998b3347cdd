package wire_test

import (
	"bytes"
	"crypto/ed25519"
	"encoding/hex"
	"encoding/json"
	"flag"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"reflect"
	"testing"

	"google.golang.org/protobuf/encoding/protojson"
	"google.golang.org/protobuf/encoding/protowire"
	"google.golang.org/protobuf/proto"

	turnrowv1 "turnrow/proto/turnrow/v1"
	"turnrow/sync/chain"
	"turnrow/sync/entry"
	"turnrow/sync/hlc"
	"turnrow/sync/wire"
)

// The vectors pin bytes, hashes, signatures and refusals for any
// implementation. A change to them is a change to what devices in the field
// have already signed: -update is for additions.
var update = flag.Bool("update", false, "write the vectors in testdata/vectors anew")

// hexed is bytes that are written in hexadecimal.
type hexed []byte

func (h hexed) MarshalText() ([]byte, error) { return []byte(hex.EncodeToString(h)), nil }

func (h *hexed) UnmarshalText(t []byte) (err error) {
	*h, err = hex.DecodeString(string(t))
	return err
}

// vectors reads a file of vectors, or makes it first.
func vectors[T any](t *testing.T, name string, make func() T) T {
	t.Helper()
	path := filepath.Join("..", "..", "testdata", "vectors", name)
	if *update {
		text, err := json.MarshalIndent(make(), "", " ")
		if err == nil {
			err = os.WriteFile(path, append(text, '\n'), 0o644)
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	var v T
	dec := json.NewDecoder(bytes.NewReader(text))
	dec.DisallowUnknownFields()
	if err := dec.Decode(&v); err != nil {
		t.Fatal(err)
	}
	return v
}

// logVector is one device's log.
type logVector struct {
	Farm    hexed
	Device  hexed
	Seed    hexed // of the device's Ed25519 key (RFC 8032)
	Key     hexed // public
	Start   hexed // the chain's hash before the first entry
	Entries []entryVector
}

// entryVector is one entry as it travels, and what it says.
type entryVector struct {
	Bytes     hexed
	Hash      hexed // the chain's hash after it
	Signature hexed
	Clock     uint64
	Wall      int64
	Person    string // "" for the device's own
	Seen      []string
	Kind      string
	Unknown   string         `json:",omitempty"` // why the body is not understood
	Message   map[string]any // the message by the schema, in protobuf's JSON
}

func seed(n byte) []byte { return bytes.Repeat([]byte{n}, ed25519.SeedSize) }

// paper is the public half of the code on paper.
var paper = entry.Key{7: 7}

// writer makes a logVector.
type writer struct {
	vec  logVector
	head chain.Head
	key  ed25519.PrivateKey
}

func newWriter() *writer {
	key := ed25519.NewKeyFromSeed(seed(1))
	pub := entry.Key(key.Public().(ed25519.PublicKey))
	f := entry.FoundedBy(devA, pub, paper)
	w := &writer{head: chain.Start(f, devA, pub), key: key}
	w.vec = logVector{Farm: f[:], Device: devA[:], Seed: seed(1), Key: pub[:], Start: hexed(bytes.Clone(w.head.Hash[:]))}
	return w
}

func (w *writer) write(d entry.Draft) {
	h := w.head.Clone()
	raw, err := wire.Encode(&h, d)
	if err != nil {
		panic(err)
	}
	w.raw(raw)
}

func (w *writer) raw(raw []byte) {
	e, err := wire.Decode(&w.head, raw)
	if err != nil {
		panic(err)
	}
	sig := entry.Sign(w.key, w.head.Hash)
	v := saying(&e)
	v.Bytes, v.Hash, v.Signature = raw, bytes.Clone(w.head.Hash[:]), sig[:]
	v.Message = byTheSchema(raw)
	w.vec.Entries = append(w.vec.Entries, v)
}

func saying(e *entry.Entry) entryVector {
	v := entryVector{Clock: uint64(e.Clock), Wall: e.Wall, Kind: e.Body.Kind().String()}
	if !e.Person.IsZero() {
		v.Person = e.Person.String()
	}
	for _, m := range e.Seen {
		v.Seen = append(v.Seen, fmt.Sprintf("%s %x", m.ID(), m.Hash))
	}
	if u, ok := e.Body.(*entry.Unknown); ok {
		v.Unknown = u.Why
	}
	return v
}

// byTheSchema is the message as the protobuf library reads it.
func byTheSchema(raw []byte) map[string]any {
	var m turnrowv1.Entry
	text, err := []byte(nil), proto.Unmarshal(raw, &m)
	if err == nil {
		text, err = protojson.Marshal(&m)
	}
	var v map[string]any
	if err == nil {
		err = json.Unmarshal(text, &v)
	}
	if err != nil {
		panic(err)
	}
	return v
}

// newLog is a log with a body of every kind, with clocks that jump, stand still
// and run over, people, other devices seen, and what a later version may write.
func newLog() logVector {
	w := newWriter()
	founded := &entry.FarmFounded{Name: "Gravelly Bottom", TimeZone: "America/New_York", MoneySign: "$", Owner: "Ida", Key: w.head.Key, DeviceName: "house", Paper: paper}
	t0 := hlc.Time(1_790_000_000_000 << 16)
	w.write(entry.Draft{Clock: t0, Wall: t0.Millis(), Body: founded})
	w.write(entry.Draft{Clock: t0 + 1, Wall: t0.Millis() - 90_000, Body: &entry.Noted{Text: "by another's hand"}, Seen: []entry.Mark{{Log: devB.Log(), Seq: 40, Hash: entry.Brief{4, 0}}}})
	r := rand.New(rand.NewPCG(41, 42))
	write := func(k entry.Kind) {
		d := entry.Draft{Clock: w.head.Clock + hlc.Time(1+r.Uint64N(1<<34)), Body: randomBody(r, k)}
		d.Wall = d.Clock.Millis() + r.Int64N(100) - 50
		if k%3 == 0 {
			d.Person = entry.ID{Log: devB.Log(), Seq: 1 + r.Uint64N(40)}
		}
		if k%5 == 0 {
			d.Seen = []entry.Mark{{Log: devB.Log(), Seq: 41 + uint64(k), Hash: entry.Brief{byte(k)}}}
		}
		w.write(d)
	}
	for k := entry.KindFilled; k <= entry.KindAdmitted; k++ {
		write(k)
	}
	// A kind that this version does not know, and a known one with a field that
	// it does not know: kept as they are, and understood later.
	later := protowire.AppendVarint(protowire.AppendTag(nil, 1, protowire.VarintType), 5)
	w.raw(protowire.AppendBytes(protowire.AppendTag(bytes.Clone(later), 4000, protowire.BytesType), []byte("news")))
	grown := protowire.AppendVarint(protowire.AppendTag([]byte("\x0a\x02hi"), 90, protowire.VarintType), 1)
	w.raw(protowire.AppendBytes(protowire.AppendTag(bytes.Clone(later), protowire.Number(entry.KindNoted), protowire.BytesType), grown))
	w.raw(later) // no body at all
	// Kinds that came later, each behind those that were pinned before it, whose
	// bytes stay.
	for k := entry.KindAdmitted + 1; k <= entry.LastKind; k++ {
		write(k)
	}
	return w.vec
}

// Each entry of the log reads as the vectors say, chains and is signed as they
// say, and is written again as the same bytes.
func TestLogVectors(t *testing.T) {
	v := vectors(t, "log.json", newLog)
	key := ed25519.NewKeyFromSeed(v.Seed)
	head, err := wire.Start(entry.FarmID(v.Farm), entry.DeviceID(v.Device), v.Entries[0].Bytes)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(v.Start, head.Hash[:]) || !bytes.Equal(v.Key, head.Key[:]) {
		t.Fatalf("the log starts with %x and key %x", head.Hash, head.Key)
	}
	for i, want := range v.Entries {
		before := head.Clone()
		e, err := wire.Decode(&head, want.Bytes)
		if err != nil {
			t.Fatalf("entry %d: %v", i+1, err)
		}
		got := saying(&e)
		got.Bytes, got.Hash, got.Signature, got.Message = want.Bytes, head.Hash[:], want.Signature, byTheSchema(want.Bytes)
		if !reflect.DeepEqual(got, want) {
			t.Errorf("entry %d reads\n%+v\nwant\n%+v", i+1, got, want)
		}
		if sig := entry.Sign(key, head.Hash); !bytes.Equal(sig[:], want.Signature) {
			t.Errorf("entry %d: signature %x", i+1, sig)
		}
		if err := entry.Verify(entry.Key(v.Key), head.Hash, entry.Signature(want.Signature)); err != nil {
			t.Errorf("entry %d: %v", i+1, err)
		}
		if want.Unknown != "" {
			continue // only the version that knows it can write it
		}
		raw, err := wire.Encode(&before, entry.Draft{Clock: e.Clock, Wall: e.Wall, Person: e.Person, Seen: e.Seen, Body: e.Body})
		if err != nil || !bytes.Equal(raw, want.Bytes) {
			t.Errorf("entry %d is written as %x (%v), want %x", i+1, raw, err, want.Bytes)
		}
	}
}

// Every kind has a vector that is pinned.
func TestEveryKindHasAVector(t *testing.T) {
	has := map[string]bool{}
	for _, e := range vectors(t, "log.json", newLog).Entries {
		has[e.Kind] = has[e.Kind] || e.Unknown == ""
	}
	for k := range entry.Kinds() {
		if !has[k.String()] {
			t.Errorf("log.json has no %s: pin one with -update", k)
		}
	}
}
