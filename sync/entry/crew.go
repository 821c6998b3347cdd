package entry

// Role is what a person may do. Each role may do all that the ones before it
// may.
type Role uint8

// The roles, weakest first. Anyone at all may raise a hold.
const (
	NoRole   Role = iota
	Viewer        // reads
	Helper        // fills, reads, notes, counts, catches
	Operator      // moves dials, plans, signs the hitch, releases holds
	Owner         // everything
)

var roleNames = [...]string{"none", "viewer", "helper", "operator", "owner"}

// String is the role's name.
func (r Role) String() string {
	if int(r) < len(roleNames) {
		return roleNames[r]
	}
	return "none"
}

// ParseRole finds a role that a person can have by its name.
func ParseRole(s string) (Role, bool) {
	for r := Viewer; r <= Owner; r++ {
		if r.String() == s {
			return r, true
		}
	}
	return NoRole, false
}

// FarmFounded is the first entry of a farm: its owner's, on the device whose
// key the farm's ID is made from, together with the paper code's. The entry is
// also the owner as a person.
type FarmFounded struct {
	Name       string
	TimeZone   string // IANA name
	Metric     bool   // units to show
	MoneySign  string
	Owner      string // the owner's name
	Key        Key    // the founding device's public key
	DeviceName string
	Paper      Key // the public half of the code on paper, which is kept on no device
}

// Recovered is the first entry of a device that a paper code let in. The device
// is the founding owner's, and stands above all that stood before it.
type Recovered struct {
	Key   Key // this device's public key
	Name  string
	Proof Signature // Recover with the code's secret
	Next  Key       // the public half of the code on the next paper
	Stops []Mark    // devices that it stops, each with the last entry that stands
}

// Invited offers a person a place for one device. Whoever holds the secret of
// Key can ask for it; who is let in, an [Admitted] says.
type Invited struct {
	Person  ID
	Key     Key
	Expires int64 // ms since 1970, by the wall clock of who admits
}

// DeviceEnrolled is the first entry of a device that asks to join. It has seen
// nothing of the record, and belongs once it is admitted.
type DeviceEnrolled struct {
	Invite Key // the invite's public key; zero for a server's device
	Key    Key // this device's public key
	Name   string
	Proof  Signature // Countersign with the invite's secret
}

// Admitted lets a device in, or refuses it: its whole log counts, from its first
// entry on.
type Admitted struct {
	Device  DeviceID
	Hash    Brief // of its log at its first entry
	Person  ID    // whose device it is
	Role    Role  // what it may do: its person's role, or less
	Refused bool  // it stays out
	Porter  bool  // it may admit in its turn, on an invite and in time, and nothing else
}

// MemberAdded makes a person of the crew: the entry is the person.
type MemberAdded struct {
	Name string
	Role Role
}

// MemberChanged changes a person's name or role.
type MemberChanged struct {
	Member ID
	Name   Opt[string]
	Role   Role // NoRole where it does not change
}

// MemberStopped ends a person's part in the crew.
type MemberStopped struct {
	Member ID
	Why    string
}

// DeviceStopped ends a device: lost, or replaced. Last is its last entry that
// stands (number 0: none does); what it wrote without knowing of the stop, after
// that or on another branch, is kept but left out.
type DeviceStopped struct {
	Last Mark
	Why  string
}

// DeviceTakenIn takes in what a stopped device noted, up to Last: fills, catches,
// readings, words; never rights, signatures, releases or settlements.
type DeviceTakenIn struct {
	Last Mark
	Why  string
}

// Kind of the body.
func (*FarmFounded) Kind() Kind { return KindFarmFounded }

// Fields of the body.
func (b *FarmFounded) Fields(f Fields) {
	f.Text(1, &b.Name)
	f.Text(2, &b.TimeZone)
	flag(f, 3, &b.Metric)
	f.Text(4, &b.MoneySign)
	f.Text(5, &b.Owner)
	fixed(f, 6, b.Key[:])
	f.Text(7, &b.DeviceName)
	fixed(f, 8, b.Paper[:])
}

// Check the body's ranges.
func (b *FarmFounded) Check() error {
	return first(named("farm", b.Name, MaxName), text("time zone", b.TimeZone, MaxName),
		text("money sign", b.MoneySign, 8), named("owner", b.Owner, MaxName),
		keyed(b.Key), text("device", b.DeviceName, MaxName), keyed(b.Paper))
}

// Kind of the body.
func (*Recovered) Kind() Kind { return KindRecovered }

// Fields of the body.
func (b *Recovered) Fields(f Fields) {
	fixed(f, 1, b.Key[:])
	f.Text(2, &b.Name)
	fixed(f, 3, b.Proof[:])
	fixed(f, 4, b.Next[:])
	f.Group(5, len(b.Stops), func() { b.Stops = append(b.Stops, Mark{}) }, func(i int, f Fields) { mark(f, 1, &b.Stops[i]) })
}

// Check the body's ranges.
func (b *Recovered) Check() error {
	err := first(keyed(b.Key), text("device", b.Name, MaxName), keyed(b.Next), between("stops", len(b.Stops), 0, MaxList))
	for _, m := range b.Stops {
		err = first(err, marked("stopped device", m))
	}
	return err
}

// Kind of the body.
func (*Admitted) Kind() Kind { return KindAdmitted }

// Fields of the body.
func (b *Admitted) Fields(f Fields) {
	fixed(f, 1, b.Device[:])
	fixed(f, 2, b.Hash[:])
	f.Ref(3, &b.Person)
	number(f, 4, &b.Role)
	flag(f, 5, &b.Refused)
	flag(f, 6, &b.Porter)
}

// Check the body's ranges.
func (b *Admitted) Check() error {
	err := marked("device", Mark{Log: b.Device.Log()})
	if b.Refused || b.Porter {
		return first(err, between("role", b.Role, NoRole, NoRole))
	}
	return first(err, given("person", b.Person), between("role", b.Role, Viewer, Owner))
}

// Kind of the body.
func (*Invited) Kind() Kind { return KindInvited }

// Fields of the body.
func (b *Invited) Fields(f Fields) {
	f.Ref(1, &b.Person)
	fixed(f, 2, b.Key[:])
	f.Int(3, &b.Expires)
}

// Check the body's ranges.
func (b *Invited) Check() error {
	return first(given("person", b.Person), keyed(b.Key), between("end", b.Expires, 1, 1<<48))
}

// Kind of the body.
func (*DeviceEnrolled) Kind() Kind { return KindDeviceEnrolled }

// Fields of the body.
func (b *DeviceEnrolled) Fields(f Fields) {
	fixed(f, 1, b.Invite[:])
	fixed(f, 2, b.Key[:])
	f.Text(3, &b.Name)
	fixed(f, 4, b.Proof[:])
}

// Check the body's ranges.
func (b *DeviceEnrolled) Check() error {
	return first(keyed(b.Key), text("device", b.Name, MaxName))
}

// Kind of the body.
func (*MemberAdded) Kind() Kind { return KindMemberAdded }

// Fields of the body.
func (b *MemberAdded) Fields(f Fields) {
	f.Text(1, &b.Name)
	number(f, 2, &b.Role)
}

// Check the body's ranges.
func (b *MemberAdded) Check() error {
	return first(named("name", b.Name, MaxName), between("role", b.Role, Viewer, Owner))
}

// Kind of the body.
func (*MemberChanged) Kind() Kind { return KindMemberChanged }

// Fields of the body.
func (b *MemberChanged) Fields(f Fields) {
	f.Ref(1, &b.Member)
	f.OptText(2, &b.Name.Set, &b.Name.Val)
	number(f, 3, &b.Role)
}

// Check the body's ranges.
func (b *MemberChanged) Check() error {
	return first(given("member", b.Member), textOpt("name", b.Name, MaxName), between("role", b.Role, NoRole, Owner))
}

// Kind of the body.
func (*MemberStopped) Kind() Kind { return KindMemberStopped }

// Fields of the body.
func (b *MemberStopped) Fields(f Fields) {
	f.Ref(1, &b.Member)
	f.Text(2, &b.Why)
}

// Check the body's ranges.
func (b *MemberStopped) Check() error {
	return first(given("member", b.Member), text("why", b.Why, MaxText))
}

// Kind of the body.
func (*DeviceStopped) Kind() Kind { return KindDeviceStopped }

// Fields of the body.
func (b *DeviceStopped) Fields(f Fields) {
	mark(f, 1, &b.Last)
	f.Text(4, &b.Why)
}

// Check the body's ranges.
func (b *DeviceStopped) Check() error {
	return first(marked("device", b.Last), text("why", b.Why, MaxText))
}

// Kind of the body.
func (*DeviceTakenIn) Kind() Kind { return KindDeviceTakenIn }

// Fields of the body.
func (b *DeviceTakenIn) Fields(f Fields) {
	mark(f, 1, &b.Last)
	f.Text(4, &b.Why)
}

// Check the body's ranges.
func (b *DeviceTakenIn) Check() error {
	return first(marked("device", b.Last), text("why", b.Why, MaxText))
}

func flag(f Fields, num int, v *bool) {
	var n uint64
	if *v {
		n = 1
	}
	f.Uint(num, &n)
	*v = n != 0
}

// mark is a place in a device's log, in the fields num, num+1 and num+2. It
// needs not have been seen: it stands for itself.
func mark(f Fields, num int, m *Mark) {
	fixed(f, num, m.Log[:])
	f.Uint(num+1, &m.Seq)
	fixed(f, num+2, m.Hash[:])
}

func marked(field string, m Mark) error {
	if m.Log.IsZero() {
		return &RangeError{field, "missing", "given"}
	}
	return nil
}

func keyed(k Key) error {
	if k == (Key{}) {
		return &RangeError{"key", "missing", "32 bytes"}
	}
	return nil
}
