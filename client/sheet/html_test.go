package sheet_test

import (
	"bytes"
	"crypto/sha256"
	"encoding/base64"
	"regexp"
	"strings"
	"testing"

	"turnrow/client/sheet"
	"turnrow/sync/entry"
	"turnrow/sync/units"
)

// TestPageNeedsNothingElse: no script, nothing from another address, no style
// but the one whose hash StyleSource gives, and nobody's words as markup.
func TestPageNeedsNothingElse(t *testing.T) {
	s := newStory(t, false)
	s.Write(s.ben, &entry.Noted{Text: `<img src=x onerror="alert(1)"> & <b>bold</b>`})
	s.Write(s.ada, &entry.GroundSet{Ground: s.bench, Name: entry.Some(`<script>bench</script>`)})
	var out bytes.Buffer
	if err := sheet.HTML(&out, s.sheet("2026-09-14", "2026-09-15", units.US).DaySheet()); err != nil {
		t.Fatal(err)
	}
	page := out.String()
	for _, bad := range []string{"<script", "<img", "<b>", "<link", "<iframe", "<a ", "http://", "https://", "@import", "url(", " style="} {
		if strings.Contains(page, bad) {
			t.Errorf("the page holds %q", bad)
		}
	}
	style := regexp.MustCompile(`(?s)<style>(.*?)</style>`).FindStringSubmatch(page)
	sum := sha256.Sum256([]byte(style[1]))
	if got := "'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"; got != sheet.StyleSource() {
		t.Errorf("the page's style is %s, StyleSource says %s", got, sheet.StyleSource())
	}
}
