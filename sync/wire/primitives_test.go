package wire_test

import (
	"bytes"
	"crypto/ed25519"
	"crypto/sha256"
	"errors"
	"reflect"
	"testing"

	"turnrow/sync/chain"
	"turnrow/sync/entry"
	"turnrow/sync/wire"
)

// primitives pins what everything else is made of.
type primitives struct {
	Device, Key   hexed
	Founded       hexed // the farm that device and key found
	FirstHash     hexed // h(0) of the device on that farm
	Entry         hexed
	NextHash      hexed // h(1), over Entry
	Signature     hexed // of h(1), with the key of the seed
	Seed          hexed
	Branch        hexed // the name of the branch that h(1) begins
	InviteSeed    hexed
	Countersigned hexed // the device's enrolment on that farm, with the invite's key
	PaperSeed     hexed // of the code on paper, whose public half is in the farm's ID
	Next          hexed // the public half of the code on the next paper
	Recovered     hexed // the device's first entry by that paper, with its key
}

func newPrimitives() primitives {
	key, invite := ed25519.NewKeyFromSeed(seed(1)), ed25519.NewKeyFromSeed(seed(2))
	pub := entry.Key(key.Public().(ed25519.PublicKey))
	paper := ed25519.NewKeyFromSeed(seed(3))
	half := entry.Key(paper.Public().(ed25519.PublicKey))
	f := entry.FoundedBy(devB, pub, half)
	h0 := entry.FirstHash(f, devB)
	h1 := entry.NextHash(h0, []byte("an entry's bytes"))
	sig, branch, proof := entry.Sign(key, h1), chain.Branch(h1), entry.Countersign(invite, f, devB, pub)
	recovered := entry.Recover(paper, f, devB, pub, entry.Key(seed(4)))
	return primitives{
		Device: devB[:], Key: pub[:], Founded: f[:], FirstHash: h0[:], Entry: []byte("an entry's bytes"), NextHash: h1[:],
		Signature: sig[:], Seed: seed(1), Branch: branch[:], InviteSeed: seed(2), Countersigned: proof[:],
		PaperSeed: seed(3), Next: seed(4), Recovered: recovered[:],
	}
}

func TestPrimitiveVectors(t *testing.T) {
	v := vectors(t, "primitives.json", newPrimitives)
	if got := newPrimitives(); !reflect.DeepEqual(got, v) {
		t.Errorf("%+v\nwant %+v", got, v)
	}
	// And against Ed25519 and SHA-256 themselves, by the words of package entry.
	signed := append([]byte("turnrow signature 1\x00"), v.NextHash...)
	if !ed25519.Verify(ed25519.PublicKey(v.Key), signed, v.Signature) {
		t.Error("the signature is not over its tag and the hash")
	}
	invite := ed25519.NewKeyFromSeed(v.InviteSeed).Public().(ed25519.PublicKey)
	enrolled := bytes.Join([][]byte{[]byte("turnrow enrolment 1\x00"), v.Founded, v.Device, v.Key}, nil)
	if !ed25519.Verify(invite, enrolled, v.Countersigned) {
		t.Error("the countersignature is not over its tag, farm, device and key")
	}
	paper := ed25519.NewKeyFromSeed(v.PaperSeed).Public().(ed25519.PublicKey)
	recovered := bytes.Join([][]byte{[]byte("turnrow paper 1\x00"), v.Founded, v.Device, v.Key, v.Next}, nil)
	if !ed25519.Verify(paper, recovered, v.Recovered) {
		t.Error("the recovery is not over its tag, farm, device, key and the next paper")
	}
	founds := sha256.Sum256(bytes.Join([][]byte{[]byte("turnrow farm 2\x00"), v.Device, v.Key, paper}, nil))
	if id := v.Founded; !bytes.Equal(id[:6], founds[:6]) || !bytes.Equal(id[9:], founds[9:16]) {
		t.Error("the farm's ID is not made from its tag, device, key and paper")
	}
}

// carryVector is a carry file, and what it gives.
type carryVector struct {
	Name    string
	File    hexed
	Entries int    // in all its runs, up to where it ends or is torn
	Torn    bool   `json:",omitempty"`
	Device  string // who carried it
}

func newCarries() []carryVector {
	log := newLog()
	var runs []entry.Run
	n := 0
	for _, s := range []refusalVector{stretch(log, 1, 9), stretch(log, 10, 12)} {
		r := entry.Run{Device: entry.DeviceID(s.Device), First: s.First, Sig: entry.Signature(s.Signature)}
		for _, raw := range s.Entries {
			r.Entries = append(r.Entries, raw)
			n++
		}
		runs = append(runs, r)
	}
	head := wire.CarryHeader{Farm: entry.FarmID(log.Farm), Device: devB, Have: someFrontier}
	var buf bytes.Buffer
	w, err := wire.NewCarryWriter(&buf, head)
	for i := range runs {
		err = errors.Join(err, w.Run(&runs[i]))
	}
	if err = errors.Join(err, w.Close()); err != nil {
		panic(err)
	}
	file := buf.Bytes()
	flipped := bytes.Clone(file)
	flipped[len(flipped)-1] ^= 1
	name := devB.String()
	return []carryVector{
		{"whole", file, n, false, name},
		{"cut in the second run", file[:len(file)-120], 9, true, name},
		{"its sum is another's", flipped, n, true, name},
	}
}

func TestCarryVectors(t *testing.T) {
	for _, v := range vectors(t, "carry.json", newCarries) {
		h, runs, err := uncarried(bytes.NewReader(v.File))
		n := 0
		for _, r := range runs {
			n += len(r.Entries)
		}
		if n != v.Entries || errors.Is(err, wire.ErrCarry) != v.Torn || err != nil && !v.Torn || h.Device.String() != v.Device {
			t.Errorf("%s: %d entries, carried by %s, error %v", v.Name, n, h.Device, err)
		}
	}
}
