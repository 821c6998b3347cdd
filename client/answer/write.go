package answer

// Written is what every command that writes one entry prints.
type Written struct {
	Entry string `json:"entry"` // its ID
}

// Poured is what `turnrow fill` prints.
type Poured struct {
	Entry    string    `json:"entry"`    // its ID
	Cautions []Caution `json:"cautions"` // about the lot
}

// BagsCame is what `turnrow bags in` prints.
type BagsCame struct {
	Entry   string   `json:"entry"`   // its ID
	Doubted []string `json:"doubted"` // IDs of the open doubts about more used than came
}

// Caught is what `turnrow catch` prints: the rate that the catch shows.
type Caught struct {
	Entry       string    `json:"entry"`              // its ID
	LbPerAc     Number    `json:"lb_per_ac"`          // lb/ac
	LowLbPerAc  Number    `json:"low_lb_per_ac"`      // lb/ac, the low end of its 90 % interval
	HighLbPerAc Number    `json:"high_lb_per_ac"`     // lb/ac, the high end
	AimLbPerAc  Number    `json:"aim_lb_per_ac"`      // lb/ac; 0 where the plan names none
	HalfShare   Number    `json:"half_share"`         // half of the interval, a fraction of the rate
	Catches     int       `json:"catches"`            // masses of this entry that count
	Aside       []string  `json:"aside"`              // what was set aside, and why, in words
	Plugged     bool      `json:"plugged"`            // nothing came
	Together    *Together `json:"together,omitempty"` // all catches and the chart at this dial; left out where nothing is known of them
}

// Together is what chart and catches say of a dial, and what to do next.
type Together struct {
	LbPerAc       Number   `json:"lb_per_ac"`       // lb/ac
	LowLbPerAc    Number   `json:"low_lb_per_ac"`   // lb/ac, the low end of its 90 % interval
	HighLbPerAc   Number   `json:"high_lb_per_ac"`  // lb/ac, the high end
	Catches       int      `json:"catches"`         // masses that count, at all dials
	Aside         []string `json:"aside"`           // what was set aside, and why, in words
	OffChartTimes *Number  `json:"off_chart_times"` // what the catches show beside the chart, as a factor; null where the two agree
	Next          string   `json:"next"`            // what to do, as of DialForAim
	Why           string   `json:"why"`             // the reason for it, in words
}

// Finished is what `turnrow finish` prints: the counter held against the map.
type Finished struct {
	Entry      string  `json:"entry"`             // its ID
	MapAcres   *Number `json:"map_acres"`         // ac by the map, or as set; null where neither is known
	DoneAcres  *Number `json:"acres_done"`        // ac by the counter; null where none are known
	OverShare  *Number `json:"over_share"`        // the counter's over the map's, a fraction; null where either is not known
	Verdict    string  `json:"verdict,omitempty"` // agrees, off, far off, too small; left out where there is none
	Offer      *Number `json:"offer"`             // factor that --correct would take the counter for; null where nothing is offered
	Correction *Number `json:"correction"`        // true area over the counter's, a factor, taken from here on; null for none
}

// StandCounted is what `turnrow stand` prints.
type StandCounted struct {
	Entry  string `json:"entry"`   // its ID
	PerFt2 Number `json:"per_ft2"` // plants to the square foot
	Low    Number `json:"low"`     // to the square foot, the low end of its 95 % interval
	High   Number `json:"high"`    // to the square foot, the high end
}

// Claim is what is printed of entries about a hitch, or that settle a doubt:
// what does not count is kept, but the call has failed.
type Claim struct {
	Entry   string   `json:"entry"`   // ID of the first
	Entries []string `json:"entries"` // IDs of all
	Counts  bool     `json:"counts"`  // all of them count
}

// Set is what `turnrow set` prints.
type Set struct {
	Written  int       `json:"written"`  // entries
	Hints    []string  `json:"hints"`    // what the file leaves open, in words
	Cautions []Caution `json:"cautions"` // about what was set
}

// GeoJSON is what `turnrow geojson` prints.
type GeoJSON struct {
	Written         int      `json:"written"`          // pieces of ground
	Pieces          []string `json:"pieces"`           // their names
	WithoutBoundary []string `json:"without_boundary"` // names of the pieces that were left out, having none
}
