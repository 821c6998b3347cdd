package answer

// Caution are advice beside a result.
type Caution struct {
	Text   string `json:"text"`
	Source string `json:"source"`
}

// Unlikely is something in a sum's flags that is hardly so. A sum writes nothing,
// so it is told and worked out all the same.
type Unlikely struct {
	What    string   `json:"what"`
	Instead []string `json:"instead"` // what may have been meant, likeliest first
}

type RateTag struct {
	LiveShare     Number    `json:"live_share"`
	BareLiveShare Number    `json:"bare_live_share"`           // without the coating
	Counted       string    `json:"coating_counted,omitempty"` // in or apart; left out without a coating
	Cautions      []Caution `json:"cautions"`
}

type RateBulk struct {
	BulkLbPerAc     Number    `json:"bulk_lb_per_ac"`
	BulkKgPerHa     Number    `json:"bulk_kg_per_ha"`
	LiveShare       Number    `json:"live_share"`
	SameMassLbPerAc Number    `json:"same_mass_lb_per_ac"` // as uncoated seed
	SameMassKgPerHa Number    `json:"same_mass_kg_per_ha"`
	Cautions        []Caution `json:"cautions"`
}

type RateSeeds struct {
	SeedsPerFt2 Number `json:"seeds_per_ft2"`
	SeedsPerM2  Number `json:"seeds_per_m2"`
	LbPerAc     Number `json:"lb_per_ac"`
	KgPerHa     Number `json:"kg_per_ha"`
	SeedsPerLb  Number `json:"seeds_per_lb"`
	LiveShare   Number `json:"live_share"`
	Source      string `json:"seeds_per_lb_source"`
}

type RateMix struct {
	Parts       []MixPart `json:"parts"`
	BulkLbPerAc Number    `json:"bulk_lb_per_ac"`
	BulkKgPerHa Number    `json:"bulk_kg_per_ha"`
	LiveLbPerAc Number    `json:"live_lb_per_ac"`
	SeedsPerFt2 Number    `json:"seeds_per_ft2"`
}

type MixPart struct {
	Name        string `json:"name"`
	LiveLbPerAc Number `json:"live_lb_per_ac"`
	BulkLbPerAc Number `json:"bulk_lb_per_ac"`
	BulkKgPerHa Number `json:"bulk_kg_per_ha"`
	MassShare   Number `json:"mass_share"`
	SeedsPerFt2 Number `json:"seeds_per_ft2"` // live; 0 where the seed count is not known
}

type RateOrder struct {
	Lb            Number  `json:"lb"`
	Kg            Number  `json:"kg"`
	Bags          int64   `json:"bags"`
	Cost          Number  `json:"cost"`
	CostPerAc     Number  `json:"cost_per_ac"`
	CostPerHa     Number  `json:"cost_per_ha"`
	CostPerLiveLb *Number `json:"cost_per_live_lb,omitempty"`
	LeftLb        Number  `json:"left_lb"` // where none of the reserve is used
	LeftBags      int64   `json:"left_bags"`
}

type RateWheel struct {
	RollFt       Number  `json:"roll_ft"`
	RollM        Number  `json:"roll_m"`
	WidthFt      *Number `json:"width_ft,omitempty"`
	TurnsPerAcre *Number `json:"turns_per_acre,omitempty"`
	TrueAc       *Number `json:"true_ac,omitempty"`
}

type RateCatch struct {
	LbPerAc     Number   `json:"lb_per_ac"`
	KgPerHa     Number   `json:"kg_per_ha"`
	AreaFt2     Number   `json:"area_ft2"`
	AreaM2      Number   `json:"area_m2"`
	LowLbPerAc  Number   `json:"low_lb_per_ac"`
	HighLbPerAc Number   `json:"high_lb_per_ac"`
	LowKgPerHa  Number   `json:"low_kg_per_ha"`
	HighKgPerHa Number   `json:"high_kg_per_ha"`
	Grams       Number   `json:"grams"`
	HalfShare   Number   `json:"half_share"` // half of the interval, of the rate
	Scale       Number   `json:"scale_share"`
	Turns       Number   `json:"turns_share"`
	Rows        Number   `json:"rows_share"`
	Repeats     Number   `json:"repeats_share"`
	Roll        Number   `json:"roll_share"`
	Catches     int      `json:"catches"` // that count
	Aside       []string `json:"aside"`   // what was set aside, and why
	Plugged     bool     `json:"plugged"` // nothing came
	Widest      string   `json:"widest,omitempty"`
	Next        string   `json:"next,omitempty"`            // what helps most
	NextHalf    *Number  `json:"next_half_share,omitempty"` // and what it makes of the interval
	NeedCatches *int     `json:"catches_for_5_percent,omitempty"`
	NeedTurns   *Number  `json:"turns_for_5_percent,omitempty"`
	NeedFt      *Number  `json:"distance_for_5_percent_ft,omitempty"`
	NeedRows    *int     `json:"rows_for_5_percent,omitempty"`
	Advice      string   `json:"advice"`
	Decision    string   `json:"decision,omitempty"`
}

type RateAim struct {
	Grams   Number `json:"grams"`
	Lb      Number `json:"lb"`
	Oz      Number `json:"oz"`
	AreaFt2 Number `json:"area_ft2"`
	AreaM2  Number `json:"area_m2"`
}

type RateDial struct {
	Dial          Number   `json:"dial"`
	Low           Number   `json:"low"`
	High          Number   `json:"high"`
	RateLbPerAc   Number   `json:"rate_lb_per_ac"`
	RateKgPerHa   Number   `json:"rate_kg_per_ha"`
	LowLbPerAc    Number   `json:"low_lb_per_ac"`
	HighLbPerAc   Number   `json:"high_lb_per_ac"`
	Reached       bool     `json:"reached"`
	Advice        string   `json:"advice"`
	Why           string   `json:"why"`
	Basis         string   `json:"basis"`
	Catches       int      `json:"catches"`         // that count
	Aside         []string `json:"aside"`           // what was set aside, and why
	OffChartTimes *Number  `json:"off_chart_times"` // what the catches show beside the chart; null where the two agree
}

type RateEvenness struct {
	MeanG      Number   `json:"mean_g"`
	SdG        Number   `json:"sd_g"`
	CVPercent  Number   `json:"cv_percent"`
	Departures []Number `json:"departures"` // of each row from the mean, as fractions
	Blocked    []int    `json:"blocked"`    // rows, from 1
}

type RatePace struct {
	AcPerH Number  `json:"ac_per_h"`
	HaPerH Number  `json:"ha_per_h"`
	Hours  *Number `json:"hours,omitempty"`
}

type RateStand struct {
	PerFt2       Number `json:"per_ft2"`
	Low          Number `json:"low"` // to the square foot, 95 %
	High         Number `json:"high"`
	PerM2        Number `json:"per_m2"`
	Frames       int    `json:"frames"`
	FramesNeeded int    `json:"frames_needed"` // for ±20 %; 0 where it cannot be told
	Verdict      string `json:"verdict,omitempty"`
	Threshold    string `json:"threshold,omitempty"`
}

type RateGrid struct {
	OccupiedShare      Number `json:"occupied_share"`
	ConservativePerFt2 Number `json:"conservative_per_ft2"`
	PerFt2             Number `json:"per_ft2"`
	ConservativePerM2  Number `json:"conservative_per_m2"`
	PerM2              Number `json:"per_m2"`
}

type RateComeUp struct {
	First   string `json:"first"`
	Last    string `json:"last"`
	Late    string `json:"late_from"`
	Showing string `json:"showing,omitempty"`
	Source  string `json:"source"`
}

type RateAdvice struct {
	Cautions         []Caution `json:"cautions"`
	NurseLowLbPerAc  *Number   `json:"nurse_low_lb_per_ac,omitempty"`
	NurseHighLbPerAc *Number   `json:"nurse_high_lb_per_ac,omitempty"`
}

type Species struct {
	Name           string   `json:"name"`
	Latin          string   `json:"latin"`
	Legume         bool     `json:"legume"`
	SeedsPerLb     *Number  `json:"seeds_per_lb,omitempty"`
	SeedsPerLbLow  *Number  `json:"seeds_per_lb_low,omitempty"`
	SeedsPerLbHigh *Number  `json:"seeds_per_lb_high,omitempty"`
	SeedsSource    string   `json:"seeds_per_lb_source,omitempty"`
	LbPerBu        *Number  `json:"lb_per_bu,omitempty"`
	LbPerBuSource  string   `json:"lb_per_bu_source,omitempty"`
	Figures        []Figure `json:"figures"`
}

type Figure struct {
	Kind      string `json:"kind"`
	Value     string `json:"value"`
	Unit      string `json:"unit,omitempty"`
	Publisher string `json:"publisher"`
	Title     string `json:"title"`
	Year      string `json:"year"`
	Address   string `json:"address"`
}
