package proto_test

import (
	"bufio"
	"bytes"
	"crypto/ed25519"
	"crypto/sha256"
	"encoding/binary"
	"errors"
	"io"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"google.golang.org/protobuf/proto"
	"google.golang.org/protobuf/reflect/protodesc"
	"google.golang.org/protobuf/reflect/protoreflect"
	"google.golang.org/protobuf/types/descriptorpb"
	"google.golang.org/protobuf/types/dynamicpb"
)

// A second reader of runs and carry files, by PROTOCOL.md and the pinned schema
// alone: protocol buffers, SHA-256 and Ed25519 are all that it imports.

// schema is the pinned schema, by message.
type schema struct {
	files func(string) protoreflect.MessageDescriptor
}

func pinnedSchema(t *testing.T) schema {
	t.Helper()
	b, err := os.ReadFile(filepath.Join("..", "testdata", "schema", "turnrow.binpb"))
	if err != nil {
		t.Fatal(err)
	}
	set := new(descriptorpb.FileDescriptorSet)
	if err := proto.Unmarshal(b, set); err != nil {
		t.Fatal(err)
	}
	files, err := protodesc.NewFiles(set)
	if err != nil {
		t.Fatal(err)
	}
	return schema{func(name string) protoreflect.MessageDescriptor {
		d, err := files.FindDescriptorByName(protoreflect.FullName("turnrow.v1." + name))
		if err != nil {
			t.Fatal(err)
		}
		return d.(protoreflect.MessageDescriptor)
	}}
}

// message reads a message of the schema.
func (s schema) message(name string, b []byte) (fields, error) {
	m := dynamicpb.NewMessage(s.files(name))
	return fields{m}, proto.Unmarshal(b, m)
}

// fields are a message's, by name.
type fields struct{ protoreflect.Message }

func (f fields) of(name string) protoreflect.Value {
	return f.Get(f.Descriptor().Fields().ByName(protoreflect.Name(name)))
}

// reader is who holds the beginning of one log.
type reader struct {
	schema
	farm, device []byte
	key          ed25519.PublicKey
	hashes       [][]byte // h(0) on
	entries      [][]byte // from 1
	clock        uint64   // ms
	places       [][]byte
	seen         []uint64 // of each place
}

// The reasons that the page has for runs.
var (
	errGap       = errors.New("GAP")
	errSignature = errors.New("SIGNATURE")
	errFork      = errors.New("FORK")
	errMalformed = errors.New("MALFORMED")
	errNothing   = errors.New("NOTHING NEW")
)

func newReader(s schema, farm, device []byte) *reader {
	return &reader{schema: s, farm: farm, device: device, hashes: [][]byte{hash("turnrow log 1", farm, device)},
		places: [][]byte{device}, seen: []uint64{0}}
}

// take takes a run, or says why not; then nothing has changed.
func (r *reader) take(first uint64, entries [][]byte, signature []byte) (news int, err error) {
	held := uint64(len(r.entries))
	if first < 1 || first > held+1 {
		return 0, errGap
	}
	next := *r
	if held == 0 {
		if next.key, err = r.names(entries[0]); err != nil {
			return 0, err
		}
	}
	h, forked := r.hashes[first-1], false
	for i, b := range entries {
		h = hash("turnrow entry 1", h, b)
		if n := first + uint64(i); n <= held {
			forked = forked || !bytes.Equal(b, r.entries[n-1])
			continue
		}
		next.hashes, next.entries = append(slices.Clip(next.hashes), h), append(slices.Clip(next.entries), b)
		news++
	}
	switch {
	case news == 0 && !forked:
		return 0, errNothing
	case !ed25519.Verify(next.key, tagged("turnrow signature 1", h), signature):
		return 0, errSignature
	case forked:
		return 0, errFork
	}
	for i, b := range next.entries[held:] {
		if err := next.read(held+uint64(i)+1, b); err != nil {
			return 0, err
		}
	}
	*r = next
	return news, nil
}

// names is the key that a log's first entry names. A founding is of the farm
// whose ID is made from it.
func (r *reader) names(b []byte) (ed25519.PublicKey, error) {
	e, err := r.message("Entry", b)
	if err != nil {
		return nil, errMalformed
	}
	which := e.WhichOneof(e.Descriptor().Oneofs().ByName("body"))
	if which == nil {
		return nil, errMalformed
	}
	switch which.Name() {
	case "farm_founded":
		f := fields{e.Get(which).Message()}
		key := f.of("key").Bytes()
		if !bytes.Equal(r.farm, uuid8(hash("turnrow farm 2", r.device, key, f.of("paper").Bytes()))) {
			return nil, errMalformed
		}
		return key, nil
	case "device_enrolled", "recovered":
		return fields{e.Get(which).Message()}.of("key").Bytes(), nil
	}
	return nil, errMalformed
}

// read reads the envelope of an entry, by its number, after the schema's rules.
func (r *reader) read(number uint64, b []byte) error {
	e, err := r.message("Entry", b)
	if err != nil {
		return errMalformed
	}
	r.places, r.seen = slices.Clone(r.places), slices.Clone(r.seen)
	if r.clock += e.of("later").Uint(); r.clock >= 1<<48 || e.of("count").Uint() > 65535 {
		return errMalformed
	}
	met := e.of("met").Bytes()
	for ; len(met) >= 16; met = met[16:] {
		for _, p := range r.places {
			if bytes.Equal(p, met[:16]) {
				return errMalformed
			}
		}
		r.places, r.seen = append(r.places, met[:16]), append(r.seen, 0)
	}
	if len(met) > 0 || len(r.places) > 4096 || !r.sees(e.of("seen").Bytes()) || !r.knows(number, e.of("person").Uint()) {
		return errMalformed
	}
	return nil
}

// sees adds how much further the writer has seen the logs of others.
func (r *reader) sees(b []byte) bool {
	twice := map[uint64]bool{0: true} // its own log stands there never
	for len(b) > 0 {
		v, n := binary.Uvarint(b)
		if n <= 0 || n != len(binary.AppendUvarint(nil, v)) || len(b) < n+8 {
			return false
		}
		more, place := unpacked(v)
		if more == 0 || place >= uint64(len(r.places)) || twice[place] {
			return false
		}
		twice[place] = true
		r.seen[place] += more
		b = b[n+8:]
	}
	return true
}

// unpacked is a reference's number and place.
func unpacked(v uint64) (n, place uint64) {
	if v&1 == 0 {
		return v >> 6, v >> 1 & 31
	}
	return v >> 17, v >> 1 & 65535
}

// knows says whether a reference of an entry is to nothing, or to an entry that
// its writer had seen.
func (r *reader) knows(number, ref uint64) bool {
	n, place := unpacked(ref)
	if place == 0 {
		return ref == 0 || n >= 1 && n < number
	}
	return place < uint64(len(r.places)) && n >= 1 && n <= r.seen[place]
}

// logVector is what the reader needs of log.json.
type logVector struct {
	Farm, Device hexed
	Entries      []struct{ Bytes, Signature hexed }
}

// Each run of the vectors is taken or refused by the page's words as the
// vectors say.
func TestPageSufficesForTheRefusals(t *testing.T) {
	var log logVector
	vector(t, "log.json", &log)
	var runs []struct {
		Name, Reason            string
		Held, New               int
		Farm, Device, Signature hexed
		First                   uint64
		Entries                 []hexed
	}
	vector(t, "refusals.json", &runs)
	s, reasons := pinnedSchema(t), map[string]int{}
	for _, v := range runs {
		r := newReader(s, v.Farm, v.Device)
		if v.Held > 0 {
			var held [][]byte
			for _, e := range log.Entries[:v.Held] {
				held = append(held, e.Bytes)
			}
			if n, err := r.take(1, held, log.Entries[v.Held-1].Signature); err != nil || n != v.Held {
				t.Fatalf("%s: what is held: %d entries, %v", v.Name, n, err)
			}
		}
		var entries [][]byte
		for _, e := range v.Entries {
			entries = append(entries, e)
		}
		n, err := r.take(v.First, entries, v.Signature)
		if v.Reason == "" && (err != nil || n != v.New) || v.Reason != "" && (err == nil || err.Error() != v.Reason) {
			t.Errorf("%s: %d new, %v; the vectors say %d, %q", v.Name, n, err, v.New, v.Reason)
		}
		reasons[v.Reason]++
	}
	for _, want := range []error{errGap, errSignature, errFork, errMalformed, errNothing} {
		if reasons[want.Error()] == 0 {
			t.Errorf("no run is refused for %v", want)
		}
	}
}

// carried reads a carry file: who carries it, and its runs up to where it ends
// or is torn.
func (s schema) carried(file []byte) (header fields, runs []fields, torn bool) {
	in := bufio.NewReader(bytes.NewReader(file))
	if line, err := in.ReadString('\n'); err != nil || line != "turnrow carry 1\n" {
		return header, nil, true
	}
	for first := true; ; first = false {
		n, err := binary.ReadUvarint(in)
		if err != nil || n > 2*65536 {
			return header, runs, true
		}
		if n == 0 {
			sum, _ := io.ReadAll(in)
			want := sha256.Sum256(file[:len(file)-len(sum)])
			return header, runs, first || !bytes.Equal(sum, want[:])
		}
		part, name := make([]byte, n), "Run"
		if _, err := io.ReadFull(in, part); err != nil {
			return header, runs, true
		}
		if first {
			name = "CarryHeader"
		}
		m, err := s.message(name, part)
		if err != nil {
			return header, runs, true
		}
		if first {
			header = m
		} else {
			runs = append(runs, m)
		}
	}
}

// Each carry file of the vectors gives the runs that they say, which chain and
// are signed, and is whole or torn as they say.
func TestPageSufficesForTheCarryFiles(t *testing.T) {
	var files []struct {
		Name, Device string
		File         hexed
		Entries      int
		Torn         bool
	}
	vector(t, "carry.json", &files)
	s := pinnedSchema(t)
	for _, v := range files {
		header, runs, torn := s.carried(v.File)
		if device := dashed(header.of("device").Bytes()); torn != v.Torn || device != v.Device {
			t.Errorf("%s: carried by %s, torn %v; the vectors say %s, %v", v.Name, device, torn, v.Device, v.Torn)
		}
		logs, n := map[string]*reader{}, 0
		for _, run := range runs {
			device := run.of("device").Bytes()
			if logs[string(device)] == nil {
				logs[string(device)] = newReader(s, header.of("farm").Bytes(), device)
			}
			var entries [][]byte
			for i, list := 0, run.of("entries").List(); i < list.Len(); i++ {
				entries = append(entries, list.Get(i).Bytes())
			}
			news, err := logs[string(device)].take(run.of("first").Uint(), entries, run.of("signature").Bytes())
			if err != nil {
				t.Errorf("%s: the run from %d on: %v", v.Name, run.of("first").Uint(), err)
			}
			n += news
		}
		if n != v.Entries {
			t.Errorf("%s: %d entries; the vectors say %d", v.Name, n, v.Entries)
		}
	}
}
