package answer

// Caution is advice beside an answer.
type Caution struct {
	Text   string `json:"text"`   // in words
	Source string `json:"source"` // where it is published; empty for common practice
}

// Unlikely is something in a sum's flags that is hardly so. A sum writes
// nothing, so it is told and worked out all the same.
type Unlikely struct {
	What    string   `json:"what"`    // in words
	Instead []string `json:"instead"` // what may have been meant, likeliest first, in words
}

// RateTag is what `turnrow rate tag` prints: how much of a bag is live seed.
type RateTag struct {
	LiveShare     Number    `json:"live_share"`                // of what is in the bag, a fraction
	BareLiveShare Number    `json:"bare_live_share"`           // without the coating, a fraction
	Counted       string    `json:"coating_counted,omitempty"` // in or apart; left out without a coating
	Cautions      []Caution `json:"cautions"`                  // about the tag
}

// RateBulk is what `turnrow rate bulk` prints: the bulk rate that puts out a
// live rate.
type RateBulk struct {
	BulkLbPerAc     Number    `json:"bulk_lb_per_ac"`      // lb/ac of what is in the bag
	BulkKgPerHa     Number    `json:"bulk_kg_per_ha"`      // kg/ha of it
	LiveShare       Number    `json:"live_share"`          // of what is in the bag, a fraction
	SameMassLbPerAc Number    `json:"same_mass_lb_per_ac"` // lb/ac as uncoated seed
	SameMassKgPerHa Number    `json:"same_mass_kg_per_ha"` // kg/ha as uncoated seed
	Cautions        []Caution `json:"cautions"`            // about the tag
}

// RateSeeds is what `turnrow rate seeds` prints: seeds to the area against a
// bulk rate.
type RateSeeds struct {
	SeedsPerFt2 Number `json:"seeds_per_ft2"`       // live seeds to the square foot
	SeedsPerM2  Number `json:"seeds_per_m2"`        // live seeds to the square metre
	LbPerAc     Number `json:"lb_per_ac"`           // lb/ac of what is in the bag
	KgPerHa     Number `json:"kg_per_ha"`           // kg/ha of it
	SeedsPerLb  Number `json:"seeds_per_lb"`        // seeds to the pound
	LiveShare   Number `json:"live_share"`          // a fraction
	Source      string `json:"seeds_per_lb_source"` // of the seed count; empty where it was given
}

// RateMix is what `turnrow rate mix` prints.
type RateMix struct {
	Parts       []MixPart `json:"parts"`          // each kind of seed
	BulkLbPerAc Number    `json:"bulk_lb_per_ac"` // lb/ac of what is in the bags, in all
	BulkKgPerHa Number    `json:"bulk_kg_per_ha"` // kg/ha of it
	LiveLbPerAc Number    `json:"live_lb_per_ac"` // lb/ac of live seed, in all
	SeedsPerFt2 Number    `json:"seeds_per_ft2"`  // live seeds to the square foot, in all
}

// MixPart is one kind of seed in a mix.
type MixPart struct {
	Name        string `json:"name"`           // as it was given
	LiveLbPerAc Number `json:"live_lb_per_ac"` // lb/ac of live seed
	BulkLbPerAc Number `json:"bulk_lb_per_ac"` // lb/ac of what is in the bag
	BulkKgPerHa Number `json:"bulk_kg_per_ha"` // kg/ha of it
	MassShare   Number `json:"mass_share"`     // of the mix's mass, a fraction
	SeedsPerFt2 Number `json:"seeds_per_ft2"`  // live seeds to the square foot; 0 where the seed count is not known
}

// RateOrder is what `turnrow rate order` prints: what to buy.
type RateOrder struct {
	Lb            Number  `json:"lb"`                         // lb with the reserve
	Kg            Number  `json:"kg"`                         // kg, the same
	Bags          int64   `json:"bags"`                       // to buy
	Cost          Number  `json:"cost"`                       // of them, in the money of the price
	CostPerAc     Number  `json:"cost_per_ac"`                // in that money to the acre
	CostPerHa     Number  `json:"cost_per_ha"`                // in that money to the hectare
	CostPerLiveLb *Number `json:"cost_per_live_lb,omitempty"` // in that money to the pound of live seed; left out without a tag
	LeftLb        Number  `json:"left_lb"`                    // lb left where none of the reserve is used
	LeftBags      int64   `json:"left_bags"`                  // whole bags of that
}

// RateWheel is what `turnrow rate wheel` prints: how far the wheel rolls.
type RateWheel struct {
	RollFt       Number  `json:"roll_ft"`                  // ft to the turn
	RollM        Number  `json:"roll_m"`                   // m to the turn
	WidthFt      *Number `json:"width_ft,omitempty"`       // ft worked; left out where it was not given
	TurnsPerAcre *Number `json:"turns_per_acre,omitempty"` // of the wheel; left out without a width
	TrueAc       *Number `json:"true_ac,omitempty"`        // ac that the counter's come to; left out where none were given
}

// RateCatch is what `turnrow rate catch` prints: the rate that a catch shows.
// The doubts of the parts are fractions of the rate.
type RateCatch struct {
	LbPerAc     Number   `json:"lb_per_ac"`                           // lb/ac
	KgPerHa     Number   `json:"kg_per_ha"`                           // kg/ha
	AreaFt2     Number   `json:"area_ft2"`                            // ft² that the catch stands for
	AreaM2      Number   `json:"area_m2"`                             // m² of it
	LowLbPerAc  Number   `json:"low_lb_per_ac"`                       // lb/ac, the low end of its 90 % interval
	HighLbPerAc Number   `json:"high_lb_per_ac"`                      // lb/ac, the high end
	LowKgPerHa  Number   `json:"low_kg_per_ha"`                       // kg/ha, the low end
	HighKgPerHa Number   `json:"high_kg_per_ha"`                      // kg/ha, the high end
	Grams       Number   `json:"grams"`                               // g, the mean of what was caught
	HalfShare   Number   `json:"half_share"`                          // half of the interval, a fraction of the rate
	Scale       Number   `json:"scale_share"`                         // by the scale's steps
	Turns       Number   `json:"turns_share"`                         // by the part of a turn, or of the distance, at the ends
	Rows        Number   `json:"rows_share"`                          // since the rows caught stand for all rows
	Repeats     Number   `json:"repeats_share"`                       // since catches at one setting differ
	Roll        Number   `json:"roll_share"`                          // by the distance that a turn makes in the field
	Catches     int      `json:"catches"`                             // that count
	Aside       []string `json:"aside"`                               // what was set aside, and why, in words
	Plugged     bool     `json:"plugged"`                             // nothing came
	Widest      string   `json:"widest,omitempty"`                    // the widest doubt, in words
	Next        string   `json:"next,omitempty"`                      // what helps most, in words
	NextHalf    *Number  `json:"next_half_share,omitempty"`           // and what it makes of half the interval, a fraction
	NeedCatches *int     `json:"catches_for_5_percent,omitempty"`     // for ±5 %; left out where that does not lead there
	NeedTurns   *Number  `json:"turns_for_5_percent,omitempty"`       // turns of the wheel for ±5 %, likewise
	NeedFt      *Number  `json:"distance_for_5_percent_ft,omitempty"` // ft driven for ±5 %, likewise
	NeedRows    *int     `json:"rows_for_5_percent,omitempty"`        // rows caught for ±5 %, likewise
	Advice      string   `json:"advice"`                              // in words
	Decision    string   `json:"decision,omitempty"`                  // against the target, as Next of DialForAim; left out without one
}

// RateAim is what `turnrow rate aim` prints: the mass to catch for a rate.
type RateAim struct {
	Grams   Number `json:"grams"`    // g
	Lb      Number `json:"lb"`       // lb
	Oz      Number `json:"oz"`       // oz
	AreaFt2 Number `json:"area_ft2"` // ft² that the catch stands for
	AreaM2  Number `json:"area_m2"`  // m² of it
}

// RateDial is what `turnrow rate dial` prints: where to set a dial for a rate.
type RateDial struct {
	Dial          Number   `json:"dial"`            // to set
	Low           Number   `json:"low"`             // the low end of its 90 % interval
	High          Number   `json:"high"`            // the high end
	RateLbPerAc   Number   `json:"rate_lb_per_ac"`  // lb/ac at Dial
	RateKgPerHa   Number   `json:"rate_kg_per_ha"`  // kg/ha at Dial
	LowLbPerAc    Number   `json:"low_lb_per_ac"`   // lb/ac, the low end of the rate's 90 % interval
	HighLbPerAc   Number   `json:"high_lb_per_ac"`  // lb/ac, the high end
	Reached       bool     `json:"reached"`         // the dial goes as far; else Dial is its nearest end
	Advice        string   `json:"advice"`          // what to do, as Next of DialForAim
	Why           string   `json:"why"`             // the reason for it, in words
	Basis         string   `json:"basis"`           // what the rate rests on, in words
	Catches       int      `json:"catches"`         // that count
	Aside         []string `json:"aside"`           // what was set aside, and why, in words
	OffChartTimes *Number  `json:"off_chart_times"` // what the catches show beside the chart, as a factor; null where the two agree
}

// RateEvenness is what `turnrow rate evenness` prints: how alike rows give.
type RateEvenness struct {
	MeanG      Number   `json:"mean_g"`     // g to the row
	SdG        Number   `json:"sd_g"`       // g, the standard deviation between rows
	CVPercent  Number   `json:"cv_percent"` // the same in per cent of the mean
	Departures []Number `json:"departures"` // of each row from the mean, as fractions
	Blocked    []int    `json:"blocked"`    // rows that gave nothing or nearly, from 1
}

// RatePace is what `turnrow rate pace` prints.
type RatePace struct {
	AcPerH Number  `json:"ac_per_h"`        // ac to the hour
	HaPerH Number  `json:"ha_per_h"`        // ha to the hour
	Hours  *Number `json:"hours,omitempty"` // h for the area; left out without one
}

// RateStand is what `turnrow rate stand` prints.
type RateStand struct {
	PerFt2       Number `json:"per_ft2"`             // plants to the square foot
	Low          Number `json:"low"`                 // to the square foot, the low end of its 95 % interval
	High         Number `json:"high"`                // to the square foot, the high end
	PerM2        Number `json:"per_m2"`              // plants to the square metre
	Frames       int    `json:"frames"`              // counted
	FramesNeeded int    `json:"frames_needed"`       // in all for ±20 %; 0 where it cannot be told
	Verdict      string `json:"verdict,omitempty"`   // against the species' threshold: enough, unsure or thin; left out without one
	Threshold    string `json:"threshold,omitempty"` // in words, with its source; left out without one
}

// RateGrid is what `turnrow rate grid` prints: plants by the cells of a grid
// that hold one.
type RateGrid struct {
	OccupiedShare      Number `json:"occupied_share"`       // of the cells, a fraction
	ConservativePerFt2 Number `json:"conservative_per_ft2"` // plants to the square foot, at least
	PerFt2             Number `json:"per_ft2"`              // plants to the square foot, by occupied cells over their area
	ConservativePerM2  Number `json:"conservative_per_m2"`  // plants to the square metre, at least
	PerM2              Number `json:"per_m2"`               // plants to the square metre, by occupied cells over their area
}

// RateComeUp is what `turnrow rate comeup` prints. Days are written as
// 2026-09-14.
type RateComeUp struct {
	First   string `json:"first"`             // day on which it may show
	Last    string `json:"last"`              // day on which all should show
	Late    string `json:"late_from"`         // day from which it is late
	Showing string `json:"showing,omitempty"` // today: too soon to look, not yet late or late; left out where no day was given
	Source  string `json:"source"`            // of the days
}

// RateAdvice is what `turnrow rate advice` prints.
type RateAdvice struct {
	Cautions         []Caution `json:"cautions"`                       // to weigh before sowing
	NurseLowLbPerAc  *Number   `json:"nurse_low_lb_per_ac,omitempty"`  // lb/ac of a nurse crop, from; left out where none is advised
	NurseHighLbPerAc *Number   `json:"nurse_high_lb_per_ac,omitempty"` // lb/ac of it, up to
}

// Species is a built-in species. `turnrow rate species` prints one, or a list
// of them.
type Species struct {
	Name           string   `json:"name"`                          // in English
	Latin          string   `json:"latin"`                         // the botanical name
	Legume         bool     `json:"legume"`                        // it wants its inoculant
	SeedsPerLb     *Number  `json:"seeds_per_lb,omitempty"`        // seeds to the pound; left out where nothing is published, like all below
	SeedsPerLbLow  *Number  `json:"seeds_per_lb_low,omitempty"`    // the least that is published
	SeedsPerLbHigh *Number  `json:"seeds_per_lb_high,omitempty"`   // the most
	SeedsSource    string   `json:"seeds_per_lb_source,omitempty"` // of SeedsPerLb
	LbPerBu        *Number  `json:"lb_per_bu,omitempty"`           // lb in a bushel
	LbPerBuSource  string   `json:"lb_per_bu_source,omitempty"`    // of LbPerBu
	Figures        []Figure `json:"figures"`                       // all that is built in of it
}

// Figure is a published figure.
type Figure struct {
	Kind      string `json:"kind"`           // what it says
	Value     string `json:"value"`          // as it is published
	Unit      string `json:"unit,omitempty"` // of Value; left out where it has none
	Publisher string `json:"publisher"`      // of the source
	Title     string `json:"title"`          // of the source
	Year      string `json:"year"`           // of the source
	Address   string `json:"address"`        // of the source
}
