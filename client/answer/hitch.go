package answer

type Hitch struct {
	Drill    string   `json:"drill"`
	Ready    bool     `json:"ready"`
	Missing  []string `json:"missing"`
	Holds    []Hold   `json:"holds"`
	Signed   []Check  `json:"signed"`
	Unsigned []ToSign `json:"unsigned"`
	Tractor  string   `json:"tractor"`
	Version  int64    `json:"version"` // of the list of checks
	New      []string `json:"new"`     // of the missing, those of a newer list than the hitch was begun on
	Released []Hold   `json:"released"`
	Met      *string  `json:"met"`           // when this device last exchanged with another; null for never
	Waiting  []Hold   `json:"holds_waiting"` // open too, by devices that wait to be let in: they stop work
	Late     []Hold   `json:"holds_late"`    // of a stopped device, past its first: they stop nothing
}

// ToSign is a check that nobody has signed.
type ToSign struct {
	Item     int64  `json:"item"`
	Name     string `json:"name"`
	Required bool   `json:"required"`
}

type Check struct {
	Entry    string `json:"entry"`
	Item     int64  `json:"item"`
	Name     string `json:"name"`
	Required bool   `json:"required"`
	By       string `json:"by"`
	On       string `json:"on,omitempty"` // the device, where it is another person's
	Wall     string `json:"wall"`
}

type Hold struct {
	Entry      string `json:"entry"`
	By         string `json:"by"`
	On         string `json:"on,omitempty"` // the device, where it is another person's
	Why        string `json:"why"`
	Wall       string `json:"wall"`
	ReleasedBy string `json:"released_by,omitempty"`
	ReleasedOn string `json:"released_on,omitempty"`
}
