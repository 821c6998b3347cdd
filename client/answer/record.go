package answer

type Line struct {
	Entry   string `json:"entry"`
	Wall    string `json:"wall"` // the device's own clock, right or wrong
	Person  string `json:"person"`
	Device  string `json:"device"`
	Kind    string `json:"kind"`
	What    string `json:"what"`
	Struck  bool   `json:"struck"`
	Amended bool   `json:"amended"`
	LeftOut string `json:"left_out,omitempty"` // why it does not count
	Void    string `json:"void,omitempty"`     // why a signature does not count for its hitch
}

type Status struct {
	Farm     string        `json:"farm"`
	FarmName string        `json:"farm_name"`
	Device   string        `json:"device"`
	Person   string        `json:"person"`
	Role     string        `json:"role"`
	Waits    bool          `json:"waits"`   // to be let in
	Stopped  bool          `json:"stopped"` // what this device writes is kept apart
	Copied   bool          `json:"copied"`  // a copy writes under its name: it writes nothing until it joins anew
	Asking   int           `json:"asking"`  // devices that wait for an owner to let them in
	Server   string        `json:"server"`  // HOST:PORT, empty where there is none
	Entries  int           `json:"entries"`
	Pending  int           `json:"pending"` // of this device, not yet known elsewhere
	Waiting  int           `json:"waiting"` // whose causes are not here yet
	Doubts   int           `json:"doubts"`
	Met      *string       `json:"met"`    // when the last exchange with anybody was; null for never
	Clocks   []string      `json:"clocks"` // whose date or time seems to be far off, and what to do
	Drills   []DrillStatus `json:"drills"`
}

type DrillStatus struct {
	Drill   string  `json:"drill"`
	Ready   bool    `json:"ready"`
	Reading *Number `json:"reading"`
}

type Digest struct {
	Digest   string            `json:"digest"`
	Entries  uint64            `json:"entries"`
	Frontier map[string]uint64 `json:"frontier"` // how far each device's log is here
}

type Verified struct {
	OK      bool     `json:"ok"`
	Entries uint64   `json:"entries"`
	Faults  []string `json:"faults"`
}

type AuditFile struct {
	Entries uint64 `json:"entries"`
}

// FileVerified is what verify --file answers.
type FileVerified struct {
	OK      bool     `json:"ok"`
	Entries uint64   `json:"entries"`
	Devices int      `json:"devices"`
	Farm    string   `json:"farm"`
	Name    string   `json:"name"`
	Faults  []string `json:"faults"`
	Words   []string `json:"words"` // said otherwise than this version reads the bytes
}

type Copied struct {
	Entries uint64 `json:"entries"`
}

type Carried struct {
	Entries  int      `json:"entries"`
	Refused  []string `json:"refused"`
	Admitted []string `json:"admitted"` // devices that this one let in: they had asked on an invite
}

// Synced is what an exchange answers.
type Synced struct {
	Sent       int      `json:"sent"`
	Received   int      `json:"received"`
	RoundTrips int      `json:"round_trips"`
	BytesOut   int64    `json:"bytes_out"`
	BytesIn    int64    `json:"bytes_in"`
	Pending    int      `json:"pending"`
	Away       bool     `json:"away"`
	BrokeOff   bool     `json:"broke_off"` // the server answered, and was lost before the end
	Anew       bool     `json:"anew"`      // the other had started anew: all was offered again
	Refused    []string `json:"refused"`   // runs that either side did not take
	Admitted   []string `json:"admitted"`  // devices that this one let in: they had asked on an invite
	Waits      bool     `json:"waits"`     // this device waits to be let in: the other gave it nothing yet
	Clocks     []string `json:"clocks"`    // whose date or time seems to be far off, and what to do
}

// Watched is what --watch --json prints, a line for each change.
type Watched struct {
	Entries int `json:"entries"`
	Waiting int `json:"waiting"`
	Pending int `json:"pending"`
	Doubts  int `json:"doubts"`
}

type Meeting struct {
	Address string   `json:"address"`
	Clocks  []string `json:"clocks"` // whose date or time seems to be far off, and what to do
}

// Page is where a page is.
type Page struct {
	Address string `json:"address"`
}

// Demo is what the demo ends with.
type Demo struct {
	Farm         string    `json:"farm"`
	DigestsEqual bool      `json:"digests_equal"`
	Entries      uint64    `json:"entries"`
	Replicas     []Replica `json:"replicas"`
	Doubts       []Doubt   `json:"doubts"`
	Boxes        []Box     `json:"boxes"`
	Ground       []Ground  `json:"ground"`
	Hitch        Hitch     `json:"hitch"`
	Changes      []Line    `json:"changes"` // who moved a dial, when, why
}

type Replica struct {
	Replica string `json:"replica"`
	Entries uint64 `json:"entries"`
	Digest  string `json:"digest"`
}
