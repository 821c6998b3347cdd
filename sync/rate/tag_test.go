package rate

import (
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"turnrow/sync/units"
)

// Undersander, University of Wisconsin: 30 % coating and 80 % germination is
// 56 % live seed, whether the tag counts the coating as not pure or apart.
func TestCoatingComesOffOnce(t *testing.T) {
	counted := Tag{Purity: share(0.7), Germination: share(0.8)}
	apart := Tag{Purity: units.Whole, Germination: share(0.8), Coating: share(0.3)}
	for _, tag := range []Tag{counted, apart} {
		if l, err := tag.Live(); err != nil || math.Abs(float64(l)-0.56) > 1e-12 {
			t.Errorf("%+v: live %v, %v; want 0.56", tag, l, err)
		}
	}
	if bare, _ := apart.BareLive(); math.Abs(float64(bare)-0.8) > 1e-12 {
		t.Errorf("without its coating %v, want 0.8", bare)
	}
	both, err := BulkFromTag(lbPerAcre(14), apart)
	agree(t, "by live seed", both.ByLive.LbPerAcre(), 25, 1e-5)
	agree(t, "same mass", both.SameMass.LbPerAcre(), 17.5, 1e-5)
	if err != nil {
		t.Error(err)
	}
	if c := apart.Cautions(); len(c) != 1 || !strings.Contains(c[0].String(), "split") {
		t.Errorf("cautions %v", c)
	}
	doubtful := Tag{Purity: share(0.6), Germination: share(0.9), Coating: share(0.34)}
	if c := doubtful.Cautions(); len(c) != 2 || !strings.Contains(c[1].Text, "look at the tag and say which") {
		t.Errorf("cautions %v", c)
	}
	if c := counted.Cautions(); len(c) != 0 {
		t.Errorf("a tag without coating cautions %v", c)
	}
}

// 7 CFR 201.58 reports hard seed of legumes beside the germination; what
// counts as live is both.
func TestHardSeedCounts(t *testing.T) {
	tag := Tag{Purity: share(0.99), Germination: share(0.75), Hard: share(0.15)}
	agree(t, "all of it", float64(want(tag.Live())), 0.99*0.9, 1e-12)
	tag.HardLeftOut = share(0.4)
	agree(t, "60 % of it", float64(want(tag.Live())), 0.99*0.84, 1e-12)
	tag.HardLeftOut = units.Whole
	agree(t, "none of it", float64(want(tag.Live())), 0.99*0.75, 1e-12)
}

func TestTagRefuses(t *testing.T) {
	good := Tag{Purity: share(0.98), Germination: share(0.9)}
	for quantity, spoil := range map[string]func(*Tag){
		"purity":             func(t *Tag) { t.Purity = 0 },
		"germination":        func(t *Tag) { t.Germination = units.Whole + 1 },
		"hard seed":          func(t *Tag) { t.Hard = share(0.11) },
		"hard seed left out": func(t *Tag) { t.HardLeftOut = -1 },
		"coating":            func(t *Tag) { t.Coating = units.Whole },
		"live share":         func(t *Tag) { t.Germination = 0 },
	} {
		tag := good
		spoil(&tag)
		_, err := tag.Live()
		var detail *RangeError
		if !errors.As(err, &detail) || detail.Quantity != quantity || !errors.Is(err, units.ErrRange) {
			t.Errorf("%s: %v", quantity, err)
		}
		if _, err := tag.Explain(units.US); err == nil {
			t.Errorf("%s: explained all the same", quantity)
		}
	}
}

func TestTagOnPaper(t *testing.T) {
	in := Tag{Purity: share(0.64), Germination: share(0.9), Coating: share(0.34), Inert: share(0.015), OtherCrop: share(0.005)}
	if got, err := in.Explain(units.US); err != nil || !slices.Equal(got, []string{
		"live share = purity 64 % × 90 % = 57.6 %; the purity is of the bag with its coating (34 %), which does not come off again"}) {
		t.Errorf("%q, %v", got, err)
	}
	tag := Tag{Purity: share(0.98), Germination: share(0.7), Hard: share(0.2), Coating: share(0.34)}
	lines, err := tag.Explain(units.US)
	want := []string{
		"live of pure seed = germination 70 % + hard seed 20 % = 90 %",
		"seed without coating = 100 % − 34 % = 66 %",
		"live share = 66 % × purity 98 % × 90 % = 58.212 %",
	}
	if err != nil || !slices.Equal(lines, want) {
		t.Errorf("%q, %v", lines, err)
	}
	tag.HardLeftOut, tag.Coating = share(0.5), 0
	lines, err = tag.Explain(units.Metric)
	want = []string{
		"live of pure seed = germination 70 % + hard seed 20 % × 50 % that counts = 80 %",
		"live share = purity 98 % × 80 % = 78.4 %",
	}
	if err != nil || !slices.Equal(lines, want) {
		t.Errorf("%q, %v", lines, err)
	}
}

func TestOldTest(t *testing.T) {
	for _, c := range []struct {
		tested, sown TestMonth
		limit        int
		old          bool
	}{
		{TestMonth{2025, 9}, TestMonth{2026, 9}, 12, false},
		{TestMonth{2025, 9}, TestMonth{2026, 10}, 12, false}, // twelve full months between
		{TestMonth{2025, 9}, TestMonth{2026, 11}, 12, true},
		{TestMonth{2025, 12}, TestMonth{2026, 9}, 9, false},
		{TestMonth{2025, 11}, TestMonth{2026, 9}, 9, false},
		{TestMonth{2025, 10}, TestMonth{2026, 9}, 9, true},
		{TestMonth{2026, 9}, TestMonth{2026, 9}, 9, false},
	} {
		caution, err := OldTest(c.tested, c.sown, c.limit)
		if err != nil || (caution != nil) != c.old {
			t.Errorf("tested %v, sown %v, limit %d: %v, %v", c.tested, c.sown, c.limit, caution, err)
		}
	}
	for _, c := range []struct {
		tested, sown TestMonth
		limit        int
	}{
		{TestMonth{2026, 10}, TestMonth{2026, 9}, 12}, {TestMonth{2026, 0}, TestMonth{2026, 9}, 12},
		{TestMonth{2026, 1}, TestMonth{2026, 13}, 12}, {TestMonth{2026, 1}, TestMonth{2026, 2}, 8},
		{TestMonth{2026, 1}, TestMonth{2026, 2}, 16},
	} {
		if _, err := OldTest(c.tested, c.sown, c.limit); !errors.Is(err, units.ErrRange) {
			t.Errorf("%v: %v", c, err)
		}
	}
}
