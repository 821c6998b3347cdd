package rate

import (
	"encoding/csv"
	"errors"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"turnrow/sync/units"
)

// labelRow is a row of testdata/published/labels.csv.
func labelRow(t *testing.T, id string) map[string]string {
	t.Helper()
	file, err := os.Open("../../testdata/published/labels.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	rows, err := csv.NewReader(file).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range rows[1:] {
		if r[0] == id {
			row := map[string]string{}
			for i, head := range rows[0] {
				row[head] = r[i]
			}
			return row
		}
	}
	t.Fatalf("no row %s", id)
	return nil
}

// 7 CFR 201.51b(f) puts the coating into the inert matter, so pure seed, other
// crop, weed seed and inert matter with the coating are 100 %. A tag that is
// printed so, with the coating by itself or within the inert matter, has its
// purity of the coated weight.
func TestCoatingIsInertMatter(t *testing.T) {
	row := labelRow(t, "C241")
	if row["published_result"] != "inert matter" {
		t.Fatalf("%v", row)
	}
	t.Logf("%s, %s, %s", row["title"], row["publisher"], row["address"])
	printed := Tag{Purity: share(0.64), Germination: share(0.9), Coating: share(0.34), Inert: share(0.015), OtherCrop: share(0.005)}
	within := Tag{Purity: share(0.64), Germination: share(0.9), Coating: share(0.34), Inert: share(0.355), OtherCrop: share(0.005)}
	for _, tag := range []Tag{printed, within} {
		// 64 % × 90 %, by hand; taken off twice it were 38.0 %.
		agree(t, "live", float64(want(tag.Live())), 0.576, 1e-12)
		agree(t, "without its coating", float64(want(tag.BareLive())), 0.64/0.66*0.9, 1e-12)
		if c := tag.Cautions(); len(c) != 1 || !strings.Contains(c[0].Text, "split") {
			t.Errorf("cautions %v", c)
		}
	}
}

// 7 CFR 201.64 takes germination plus hard seed with the pure seed.
func TestHardSeedIsPublished(t *testing.T) {
	row := labelRow(t, "C240")
	percent, err := strconv.ParseFloat(row["published_result"], 64)
	if err != nil {
		t.Fatal(err)
	}
	t.Logf("%s, %s, %s (%s)", row["title"], row["publisher"], row["address"], row["flag"])
	agree(t, "live of pure seed", float64(want(Tag{Purity: units.Whole, Germination: share(0.85), Hard: share(0.1)}.Live())), percent/100, 1e-12)
}

func TestWhichWayCoatingIsCounted(t *testing.T) {
	for _, c := range []struct {
		what string
		tag  Tag
		want CoatingCounted
	}{
		{"none", Tag{Purity: share(0.98)}, CoatingIn},
		{"four parts", Tag{Purity: share(0.64), Coating: share(0.34), Inert: share(0.015), OtherCrop: share(0.005)}, CoatingIn},
		{"rounded parts", Tag{Purity: share(0.642), Coating: share(0.34), Inert: share(0.015), OtherCrop: share(0.005)}, CoatingIn},
		{"two parts", Tag{Purity: share(0.66), Coating: share(0.34)}, CoatingIn},
		{"in the inert", Tag{Purity: share(0.64), Coating: share(0.34), Inert: share(0.355), WeedSeed: share(0.005)}, CoatingIn},
		{"seed alone is 100 %", Tag{Purity: share(0.60), Coating: share(0.34), Inert: share(0.1), OtherCrop: share(0.3)}, CoatingApart},
		{"more than there is", Tag{Purity: share(0.98), Coating: share(0.34)}, CoatingApart},
		{"said in", Tag{Purity: share(0.6), Coating: share(0.34), Counted: CoatingIn}, CoatingIn},
		{"said apart", Tag{Purity: share(0.66), Coating: share(0.34), Counted: CoatingApart}, CoatingApart},
		{"cannot be told", Tag{Purity: share(0.6), Coating: share(0.34)}, CoatingNotSaid},
		{"cannot be told by one part more", Tag{Purity: share(0.6), Coating: share(0.34), OtherCrop: share(0.01)}, CoatingNotSaid},
	} {
		c.tag.Germination = share(0.9)
		got, err := c.tag.CountedCoating()
		var unclear *CoatingUnclear
		if got != c.want || errors.As(err, &unclear) != (c.want == CoatingNotSaid) {
			t.Errorf("%s: %v, %v", c.what, got, err)
		}
		if _, err := c.tag.Live(); (err != nil) != (c.want == CoatingNotSaid) {
			t.Errorf("%s: live %v", c.what, err)
		}
	}
	said := Tag{Purity: share(0.98), Germination: share(0.9), Coating: share(0.34), Counted: CoatingIn}
	var detail *RangeError
	if _, err := said.Live(); !errors.As(err, &detail) || detail.Quantity != "purity" {
		t.Errorf("98 %% pure with 34 %% coating in the same 100 %%: %v", err)
	}
}

// Live seed never is more than pure seed, nor than what is not coating, and
// what cannot be told lies between its two readings.
func TestLiveSeedOfCoatedSeed(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		part := func(name string, most int64) units.Share {
			return units.Share(rapid.Int64Range(0, most).Draw(t, name))
		}
		tag := Tag{Purity: 1 + part("purity", 99_999), Germination: 1 + part("germination", 99_999), Coating: part("coating", 99_000),
			OtherCrop: part("other", 5_000), Inert: part("inert", 40_000)}
		live, err := tag.Live()
		var unclear *CoatingUnclear
		if errors.As(err, &unclear) {
			if !(unclear.Apart > 0 && unclear.Apart <= unclear.In) {
				t.Fatalf("%+v: %v, %v", tag, unclear.In, unclear.Apart)
			}
			return
		}
		if err != nil {
			t.Fatal(err)
		}
		bare, err := tag.BareLive()
		if float64(live) > tag.Purity.Fraction()+1e-12 || float64(live) > 1-tag.Coating.Fraction()+0.003 || err != nil {
			t.Fatalf("%+v: live %v, %v", tag, live, err)
		}
		if back := float64(bare) * (1 - tag.Coating.Fraction()); math.Abs(back-float64(live)) > 0.003 {
			t.Fatalf("%+v: %v of the seed without its coating is %v of the bag, not %v", tag, bare, back, live)
		}
	})
}
