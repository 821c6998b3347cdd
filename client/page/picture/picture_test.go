package picture_test

import (
	"encoding/xml"
	"errors"
	"html/template"
	"io"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"turnrow/client/page/picture"
)

// Whatever is drawn, the picture is well-formed, says nothing that is no
// number, and stays within its own bounds.
func TestPlotStaysWithinItself(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		value := rapid.OneOf(rapid.Float64Range(-1e3, 1e3), rapid.Just(0.0), rapid.Just(math.NaN()), rapid.Just(math.Inf(1)), rapid.Float64Range(0, 1e-6))
		points := rapid.Custom(func(t *rapid.T) []picture.XY {
			var out []picture.XY
			for range rapid.IntRange(0, 5).Draw(t, "n") {
				out = append(out, picture.XY{X: value.Draw(t, "x"), Y: value.Draw(t, "y")})
			}
			return out
		})
		low := rapid.Float64Range(-1e3, 1e3).Draw(t, "low")
		span := rapid.SampledFrom([]float64{0, 1e-3, 1, 37, 1e4}).Draw(t, "span")
		p := picture.Plot{
			ID: "a", Title: `<rate> & "dial"`, About: "x", X: picture.Axis{Name: "<x>", Low: low, High: low + span}, Y: picture.Axis{Name: "y", Low: 0, High: span},
			Lines: []picture.Line{{Points: points.Draw(t, "line"), Pattern: "curve", Label: "<b>"}},
			Bands: []picture.Band{{Low: points.Draw(t, "low"), High: points.Draw(t, "high"), Label: "band"}},
			Marks: []picture.Mark{{At: picture.XY{X: value.Draw(t, "mx"), Y: value.Draw(t, "my")}, Low: value.Draw(t, "ml"), High: value.Draw(t, "mh"), Shape: picture.Shape(rapid.IntRange(0, 4).Draw(t, "shape")), Label: "mark"}},
		}
		if err := sound(p.SVG()); err != nil {
			t.Fatalf("%v\n%s", err, p.SVG())
		}
	})
}

var coordinates = regexp.MustCompile(`[MLHV]?(-?[0-9.]+)(?: (-?[0-9.]+))?`)

// sound reads a picture as XML and holds its paths to its bounds.
func sound(svg template.HTML) error {
	if strings.Contains(string(svg), "NaN") || strings.Contains(string(svg), "Inf") {
		return errors.New("what is no number")
	}
	d := xml.NewDecoder(strings.NewReader(string(svg)))
	var wide, deep float64
	for {
		tok, err := d.Token()
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err != nil {
			return err
		}
		e, ok := tok.(xml.StartElement)
		if !ok {
			continue
		}
		for _, a := range e.Attr {
			switch a.Name.Local {
			case "viewBox":
				f := strings.Fields(a.Value)
				wide, _ = strconv.ParseFloat(f[2], 64)
				deep, _ = strconv.ParseFloat(f[3], 64)
			case "d":
				for _, m := range coordinates.FindAllStringSubmatch(a.Value, -1) {
					for _, s := range m[1:] {
						if v, err := strconv.ParseFloat(s, 64); s != "" && (err != nil || v < -8 || v > math.Max(wide, deep)+8) {
							return errors.New("drawn outside: " + s + " in " + a.Value)
						}
					}
				}
			}
		}
	}
}

// Ticks stand at round numbers, and the axis reaches from the first of them to
// the last.
func TestTicks(t *testing.T) {
	for _, tt := range []struct {
		low, high float64
		want      string
	}{
		{0, 100, "0 20 40 60 80 100"},
		{0, 66, "0 20 40 60 80"},
		{3.2, 4.1, "3.2 3.4 3.6 3.8 4 4.2"},
		{0, 0, "0 0.2 0.4 0.6 0.8 1"},
		{-5, 5, "-6 -4 -2 0 2 4 6"},
	} {
		svg := string(picture.Plot{X: picture.Axis{Low: tt.low, High: tt.high}, Y: picture.Axis{Name: "y", Low: 1, High: 1, Ticks: []float64{1}, Write: func(float64) string { return "" }}}.SVG())
		var got []string
		for _, m := range regexp.MustCompile(`y="229.0"[^>]*>([^<]*)<`).FindAllStringSubmatch(svg, -1) {
			got = append(got, m[1])
		}
		if s := strings.Join(got, " "); s != tt.want {
			t.Errorf("%v to %v: ticks at %s, want %s", tt.low, tt.high, s, tt.want)
		}
	}
}

// Times are marked at whole hours or days of the place, not of Greenwich.
func TestTimeAxis(t *testing.T) {
	zone := time.FixedZone("here", 5*3600+1800)
	at := time.Date(2026, 4, 9, 7, 50, 0, 0, zone)
	for _, tt := range []struct {
		hours float64
		want  string
	}{
		{0.01, "07:50 07:51"}, {3, "08:00 09:00 10:00"}, {20, "12:00 18:00 00:00"}, {24 * 20, "16 Apr 23 Apr"},
	} {
		a := picture.TimeAxis("", float64(at.Unix()), float64(at.Unix())+tt.hours*3600, zone)
		var got []string
		for _, v := range a.Ticks {
			got = append(got, a.Write(v))
		}
		if s := strings.Join(got, " "); !strings.HasPrefix(s, tt.want) {
			t.Errorf("%v hours: %s, want %s", tt.hours, s, tt.want)
		}
	}
}

// A calendar has a row for each bar and says today.
func TestCalendar(t *testing.T) {
	k := picture.Calendar{ID: "k", Title: "come up", About: "x", Today: 110, Write: func(d int64) string { return "day " + strconv.FormatInt(d, 10) },
		BandLabel: "expected", LateLabel: "late from", TodayLabel: "today", BegunLabel: "sown", DoneLabel: "counted",
		Bars: []picture.Bar{{Name: "oat & <rye>", Begun: 100, From: 105, To: 110, Late: 121}, {Name: "clover", Begun: 100, From: 104, To: 107, Late: 115, Done: []int64{109}}}}
	svg := string(k.SVG())
	if err := sound(k.SVG()); err != nil {
		t.Fatalf("%v\n%s", err, svg)
	}
	for what, n := range map[string]int{`class="band"`: 3, `class="late"`: 3, `class="now"`: 2, "oat &amp; &lt;rye&gt;": 1, "<circle": 2, ">counted<": 1} {
		if got := strings.Count(svg, what); got != n {
			t.Errorf("%d times %s, not %d", got, what, n)
		}
	}
}
