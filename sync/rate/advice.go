package rate

import (
	"strings"

	"turnrow/sync/units"
)

// The sources of the advice below.
const (
	nurseSource = "Conservation Technology Information Center, citing NRCS: oats at 1 to 1.5 bu/ac on steep or weedy ground; " +
		"32 lb/bu by Indiana Code 24-6-1-1"
	halfNurseSource  = "Pennsylvania Department of Environmental Protection"
	inoculantSource  = "University of Missouri Extension"
	thinNurseSource  = "forages.org, Grass Manual"
	chartTrustSource = "University of Maryland Extension; Mississippi State University Extension, P3112"
)

// SteepFrom is the slope from which a nurse crop is advised. The advice says
// "steep" without a figure; this one is common practice, no source.
const SteepFrom units.Share = 8_000

// NurseAdvice is a quick companion crop to hold the ground until the pasture
// does: oats between two rates.
type NurseAdvice struct {
	Low, High units.RatePerArea
	Caution
}

// NurseCrop advises a nurse crop for ground that is steep (from SteepFrom) or
// weedy, where none is planned, and gives nil for other ground. The slope lies
// from 0 to 100 %. Source: Conservation Technology Information Center, citing
// NRCS (oats, 1 to 1.5 bu/ac, 32 to 48 lb/ac at 32 lb/bu).
func NurseCrop(slope units.Share, weedy, planned bool) (*NurseAdvice, error) {
	if slope < 0 || slope > units.Whole {
		return nil, refuse("slope", slope, "from 0%% to 100%%")
	}
	if planned || slope < SteepFrom && !weedy {
		return nil, nil
	}
	low, err := units.RateFromLbPerAcre(32)
	if err != nil {
		return nil, err
	}
	high, err := units.RateFromLbPerAcre(48)
	reason := "a slope of " + slope.String()
	if slope < SteepFrom {
		reason = "weedy ground"
	}
	return &NurseAdvice{Low: low, High: high, Caution: Caution{
		Text:   reason + " may wash or grow over before the pasture holds it: sow a nurse crop with it, such as oats at 32 to 48 lb/ac",
		Source: nurseSource}}, err
}

// ThickNurse warns where a nurse crop goes out at more than half of the rate
// that it would be sown at alone, and gives nil where it does not. Both rates
// must be above 0. Source: Pennsylvania Department of Environmental
// Protection.
func ThickNurse(planned, alone units.RatePerArea) (*Caution, error) {
	if err := checkRate("nurse crop's rate", planned); err != nil {
		return nil, err
	}
	if err := checkRate("nurse crop's rate alone", alone); err != nil {
		return nil, err
	}
	if planned <= alone-planned {
		return nil, nil
	}
	return &Caution{
		Text:   "the nurse crop is over half of its rate alone and may smother what it should shelter",
		Source: halfNurseSource}, nil
}

// ShadedLegume warns that a nurse crop shades the legumes of a mix, and gives
// nil where there are none. Source: forages.org, Grass Manual.
func ShadedLegume(mix []Species, nurse bool) *Caution {
	legumes := legumesOf(mix)
	if len(legumes) == 0 || !nurse {
		return nil
	}
	return &Caution{
		Text:   "a nurse crop shades " + strings.Join(legumes, " and ") + ": cut its rate and the nitrogen",
		Source: thinNurseSource}
}

// Inoculate reminds of inoculant for each legume that has none, and gives nil
// where none is wanted. Sources: University of Missouri Extension; not mixed
// with liquid fertilizer, Pennsylvania Department of Environmental Protection.
func Inoculate(s Species, inoculated bool) *Caution {
	if inoculated || !s.IsLegume() {
		return nil
	}
	return &Caution{
		Text: s.Name + " wants its own inoculant, above all where it has not grown for years; " +
			"do not mix it with liquid fertilizer",
		Source: inoculantSource}
}

// SprayOverLegume warns where a broadleaf spray is planned over a mix that
// holds legumes, and gives nil elsewhere. Common practice, no source: the
// spray's own label stands above it.
func SprayOverLegume(mix []Species, broadleafSpray bool) *Caution {
	legumes := legumesOf(mix)
	if len(legumes) == 0 || !broadleafSpray {
		return nil
	}
	return &Caution{
		Text:   "a broadleaf spray kills " + strings.Join(legumes, " and ") + ": read its label, or leave the legume out",
		Source: commonPractice}
}

// TrustNoChart is what stands under every rate that no catch has proved.
func TrustNoChart() Caution {
	return Caution{
		Text:   "the chart is a starting point only: catch and weigh for each kind and lot of seed",
		Source: chartTrustSource}
}

func legumesOf(mix []Species) []string {
	var names []string
	for _, s := range mix {
		if s.IsLegume() {
			names = append(names, s.Name)
		}
	}
	return names
}
