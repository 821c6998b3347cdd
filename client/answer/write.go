package answer

// Written is what every command that writes one entry answers.
type Written struct {
	Entry string `json:"entry"`
}

type Poured struct {
	Entry    string    `json:"entry"`
	Cautions []Caution `json:"cautions"`
}

type BagsCame struct {
	Entry   string   `json:"entry"`
	Doubted []string `json:"doubted"` // the open doubts about more used than came, by ID
}

type Caught struct {
	Entry       string    `json:"entry"`
	LbPerAc     Number    `json:"lb_per_ac"`
	LowLbPerAc  Number    `json:"low_lb_per_ac"`
	HighLbPerAc Number    `json:"high_lb_per_ac"`
	AimLbPerAc  Number    `json:"aim_lb_per_ac"`      // 0 where the plan names none
	HalfShare   Number    `json:"half_share"`         // half of the interval, of the rate
	Catches     int       `json:"catches"`            // masses of this entry that count
	Aside       []string  `json:"aside"`              // what was set aside, and why
	Plugged     bool      `json:"plugged"`            // nothing came
	Together    *Together `json:"together,omitempty"` // all catches and the chart at this dial
}

// Together is what chart and catches say of a dial, and what to do next.
type Together struct {
	LbPerAc       Number   `json:"lb_per_ac"`
	LowLbPerAc    Number   `json:"low_lb_per_ac"`
	HighLbPerAc   Number   `json:"high_lb_per_ac"`
	Catches       int      `json:"catches"` // masses that count, at all dials
	Aside         []string `json:"aside"`
	OffChartTimes *Number  `json:"off_chart_times"` // what the catches show beside the chart; null where the two agree
	Next          string   `json:"next"`
	Why           string   `json:"why"`
}

type Finished struct {
	Entry      string  `json:"entry"`
	MapAcres   *Number `json:"map_acres"`
	DoneAcres  *Number `json:"acres_done"`
	OverShare  *Number `json:"over_share"` // the counter's over the map's; null where either is not known
	Verdict    string  `json:"verdict,omitempty"`
	Offer      *Number `json:"offer"`      // what --correct would take the counter for; null where nothing is offered
	Correction *Number `json:"correction"` // true area over the counter's, taken from here on
}

type StandCounted struct {
	Entry  string `json:"entry"`
	PerFt2 Number `json:"per_ft2"`
	Low    Number `json:"low"`
	High   Number `json:"high"`
}

type Claim struct {
	Entry   string   `json:"entry"` // the first
	Entries []string `json:"entries"`
	Counts  bool     `json:"counts"` // all of them
}

type Set struct {
	Written  int       `json:"written"`
	Hints    []string  `json:"hints"`
	Cautions []Caution `json:"cautions"`
}

type GeoJSON struct {
	Written         int      `json:"written"`
	Pieces          []string `json:"pieces"`
	WithoutBoundary []string `json:"without_boundary"`
}
