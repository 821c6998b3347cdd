package farm

import (
	"turnrow/sync/chain"
	"turnrow/sync/entry"
	"turnrow/sync/message"
	"turnrow/sync/units"
)

// State is the state of one farm. It is not safe for concurrent use.
type State struct{ in *core }

// New is the state of a farm of which nothing is known yet.
func New(id entry.FarmID) *State { return &State{newCore(id)} }

// Farm is the farm's ID.
func (s *State) Farm() entry.FarmID { return s.in.Farm() }

// Apply takes entries in. A device's entries must come in their order; devices
// may come in any. Repeats are ignored.
func (s *State) Apply(es ...entry.Entry) { s.in.apply(es...) }

// Branch makes known that a log is a branch of another, which it leaves after
// an entry. It must be told before the branch's first entry is applied, and
// before any of the device's own beyond that. The name chain.Full says that the
// device's log has more branches than are kept, so that no more of it counts than
// what others named.
func (s *State) Branch(name entry.LogID, of entry.ID) { s.in.branch(name, of) }

// Grow makes room for the entries of a record up to a frontier, which are to
// come.
func (s *State) Grow(to chain.Frontier) { s.in.Grow(to) }

// Applied is how far each log of a device that belongs, or belonged, has taken
// effect, causes and all: what a writer here may say that it has seen.
func (s *State) Applied() chain.Frontier { return s.in.Applied() }

// Waiting is the number of entries whose causes are not here yet.
func (s *State) Waiting() int { return s.in.Waiting() }

// Waits are what the logs wait for, by device.
func (s *State) Waits() []Wait { return s.in.Waits() }

// Named is, of a forked log, the last entry of each branch that is here, and what
// entries which wait named of it.
func (s *State) Named(id entry.DeviceID) (held, wanted []entry.Mark) { return s.in.Named(id) }

// Entries gives fn every entry that is here, in total order but for those that
// wait, so that applying them to a new State makes this one again. What a
// writer had seen is told in full: what it named, and what followed from that.
func (s *State) Entries(fn func(entry.Entry)) { s.in.Entries(fn) }

// View is the state as people read it. It is made once for each state and is
// good for ever.
func (s *State) View() *View { return s.in.now() }

// ViewBy is View, for who has several processors: each is to call do for each
// number from 0 up to n, in whatever order or all at once, and to return when
// all have returned.
func (s *State) ViewBy(each func(n int, do func(i int))) *View { return s.in.nowBy(each) }

// Digest is a SHA-256 over the state in one canonical form: every entry and
// what it stands for, every field's shown value and contested ones, readiness,
// seed, acres and doubts. Replicas that hold the same entries have the same
// digest. All of it is integers and texts.
func (s *State) Digest() [32]byte { return s.in.digest() }

// System is the units that the farm shows.
func (s *State) System() units.System { return s.in.System() }

// Lines is the audit: every entry that took its place, in the total order.
func (s *State) Lines() []Line { return s.in.Lines() }

// What is what a body says, as a line of the audit tells it.
func (s *State) What(b entry.Body) message.Message { return s.in.What(b) }

// Line is one entry as the audit shows it.
func (s *State) Line(id entry.ID) (Line, bool) { return s.in.Line(id) }

// Track follows the seed in a box along the counter; none where there is no
// such box.
func (s *State) Track(boxID entry.ID) []Moment { return s.in.track(boxID) }

// Curve fits a box's curve for a lot. It gives the rate engine's errors, such
// as rate.ErrNothingKnown.
func (s *State) Curve(boxID, lotID entry.ID) (Curve, error) { return s.in.curve(boxID, lotID) }

// Copy is another state with the same entries in their places. What waits for
// its causes is left out.
func (s *State) Copy() *State { return &State{s.in.copy()} }

// Unlikely tries what a writer is about to write, and finds what of it is
// unlikely to be so: the doubts of slips that would be there, in order, as if
// the bodies were the device's next entries. The state stays as it is: they
// are tried on a copy.
func (s *State) Unlikely(w Writer, bodies ...entry.Body) []Doubt { return s.in.unlikely(w, bodies...) }

// Trial tries what a writer would write: on a copy, the state stays as it is.
func (s *State) Trial(by Writer) *Trial { return &Trial{s.in.copy(), by} }

// Founding is the farm's first entry; false until it is here.
func (s *State) Founding() (*entry.FarmFounded, bool) { return s.in.Founding() }

// Devices are the devices that the record names, in order of their IDs.
func (s *State) Devices() []Device { return s.in.Devices() }

// Device is a device that the record names, whether its place stands or not.
func (s *State) Device(id entry.DeviceID) (Device, bool) { return s.in.Device(id) }

// LetIn are the devices that were let in, in the order in which their logs can
// be checked from nothing: the founding one first, then those of codes on paper,
// then each after whoever let it in.
func (s *State) LetIn() []entry.DeviceID { return s.in.LetIn() }

// Lets gives the entries by which a device's log says whom to let in, of whom
// nothing is here yet: what comes of them later would count.
func (s *State) Lets(id entry.DeviceID) (unseen []entry.DeviceID) { return s.in.Lets(id) }

// EverIn says whether the device whose log has this first entry was ever let in.
func (s *State) EverIn(first entry.Mark) bool { return s.in.EverIn(first) }

// Since is when a device was let in, by the wall clock of who let it in (ms
// since 1970); of the founding device and of one that a code on paper let in,
// by its own. It says so too of one of which the admission is void since.
func (s *State) Since(id entry.DeviceID) (wall int64, ok bool) { return s.in.Since(id) }

// RightsOf is how many entries about rights a device's log has here, on all its
// branches, those that wait too.
func (s *State) RightsOf(id entry.DeviceID) (n uint64) { return s.in.RightsOf(id) }

// Held is an entry of a device's log that is here, whether the device belongs or
// not: the last one where seq is 0.
func (s *State) Held(id entry.DeviceID, seq uint64) (entry.Mark, bool) { return s.in.Held(id, seq) }

// Holds says whether an entry has taken its place here.
func (s *State) Holds(id entry.ID) bool { return s.in.Holds(id) }

// Invite finds an invite that counts by its public key.
func (s *State) Invite(key entry.Key) (Invite, bool) { return s.in.Invite(key) }

// OpenInvites is the number of invites on which nobody was let in, and that
// have not run out at wall (ms since 1970).
func (s *State) OpenInvites(wall int64) (n int) { return s.in.OpenInvites(wall) }

// Askers are the devices that ask to join, by device.
func (s *State) Askers() []Asker { return s.in.Askers() }

// ToAdmit is what a device writes by itself, at wall (ms since 1970, by its own
// clock), if it may admit: who asks to join on an invite, in time, that nobody
// took as far as is known here, and that nobody who was stopped gave, is let in.
// All else is for an owner to say. Of two that ask on one invite the first to
// come here is let in.
func (s *State) ToAdmit(id entry.DeviceID, wall int64) []entry.Body { return s.in.ToAdmit(id, wall) }

// Recovers says whether a recovery carries the signature of a code on paper of
// this farm's, as far as is known here.
func (s *State) Recovers(d entry.DeviceID, b *entry.Recovered) bool { return s.in.Recovers(d, b) }
