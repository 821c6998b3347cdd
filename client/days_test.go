package client_test

import (
	"errors"
	"testing"
	"time"

	"turnrow/client"
	"turnrow/sync/entry"
	"turnrow/sync/units"
)

// What is counted or tested on a day that is yet to come, or years before the
// record began, is refused with the days that can be; and an entry with such a
// day, from another device say, can still be amended otherwise.
func TestDaysThatCannotBe(t *testing.T) {
	now := time.Date(2026, 9, 15, 1, 30, 0, 0, time.UTC) // still the 14th at the farm
	c := openAt(t, t.TempDir(), func() time.Time { return now })
	if _, err := c.Found(t.Context(), client.FoundOptions{Farm: "Windgap", Owner: "Ada", DeviceName: "house", TimeZone: "America/New_York"}); err != nil {
		t.Fatal(err)
	}
	ids, err := c.Record(t.Context(), entry.ID{}, &entry.GroundSet{Name: entry.Some("bench")})
	if err != nil {
		t.Fatal(err)
	}
	stand := func(day string) *entry.StandCounted {
		return &entry.StandCounted{Ground: ids[0], Frame: units.Area(929), Day: dayNamed(t, day), Counts: []entry.SpeciesCount{{Plants: []int64{3}}}}
	}
	lot := func(day string) *entry.LotSet {
		return &entry.LotSet{Name: entry.Some("lot of " + day), Tested: entry.Some(dayNamed(t, day))}
	}
	for _, try := range []struct {
		body entry.Body
		want string // "" where it can be
	}{
		{stand("2026-09-14"), ""}, {stand("2024-09-14"), ""}, {lot("2026-09-14"), ""}, {lot("2006-09-14"), ""},
		{stand("2026-09-15"), "day is 2026-09-15: must be 2024-09-14 to 2026-09-14, which is today by this device's clock"},
		{stand("2099-01-01"), "day is 2099-01-01: must be 2024-09-14 to 2026-09-14, which is today by this device's clock"},
		{stand("2024-09-13"), "day is 2024-09-13: must be 2024-09-14 to 2026-09-14, which is today by this device's clock"},
		{lot("2062-09-14"), "test date is 2062-09-14: must be 2006-09-14 to 2026-09-14, which is today by this device's clock"},
		{lot("1926-09-14"), "test date is 1926-09-14: must be 2006-09-14 to 2026-09-14, which is today by this device's clock"},
	} {
		_, err := c.Record(t.Context(), entry.ID{}, try.body)
		var out *entry.RangeError
		if errors.As(err, &out); (err == nil) != (try.want == "") || err != nil && (out == nil || out.Error() != try.want) {
			t.Errorf("%+v: %v, want %q", try.body, err, try.want)
		}
	}
	now = now.AddDate(3, 0, 0)
	ids, err = c.Record(t.Context(), entry.ID{}, stand("2029-09-14"))
	if err != nil {
		t.Fatal(err)
	}
	now = now.AddDate(0, 0, -9) // the clock is set right: the day is yet to come
	more := stand("2029-09-14")
	more.Counts[0].Plants = []int64{3, 4}
	if _, err := c.Record(t.Context(), entry.ID{}, &entry.Amended{Entry: ids[0], Body: more}); err != nil {
		t.Errorf("amended otherwise: %v", err)
	}
	if _, err := c.Record(t.Context(), entry.ID{}, &entry.Amended{Entry: ids[0], Body: stand("2099-01-01")}); err == nil {
		t.Error("amended to a day that cannot be")
	}
}

func dayNamed(t *testing.T, text string) int64 {
	t.Helper()
	day, err := time.Parse(time.DateOnly, text)
	if err != nil {
		t.Fatal(err)
	}
	return day.Unix() / (24 * 60 * 60)
}
