package sync_test

import (
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// prose are sentences of the documents with figures of the code: what the groups
// of both patterns find must be the same. A sentence may be broken anywhere.
var prose = []struct{ doc, says, file, has string }{
	{"proto/PROTOCOL.md", `Compress from (\d+) bytes on`, "sync/compress/compress.go", `worthwhile = (\d+)\n`},
	{"proto/PROTOCOL.md", `window of (\d+) MiB at most`, "sync/compress/compress.go", `window = (\d+) << 20\n`},
	{"proto/PROTOCOL.md", `ping no more often than every (\d+) seconds`, "sync/doorway/doorway.go", `minPing: +(\d+) \* time\.Second`},
	{"proto/PROTOCOL.md", `waits that double up to a minute`, "client/syncer/loop.go", `longestWait = time\.Minute\n`},
	{"proto/PROTOCOL.md", "A part has at most twice `MaxRun` bytes", "sync/wire/carry.go", `maxFrame = 2 \* exchange\.MaxRun\n`},
	{"proto/PROTOCOL.md", `less than an hour ahead of your wall clock`, "sync/hlc/hlc.go", `Hour Time = 3_600_000 << countBits\n`},
	{"DEVELOPERS.md", `each day since it was let in, ([\d,]+) entries and (\d+) MB, (\d+) holds beyond it, and of these (\d+) about rights, (\d+) stops`,
		"sync/exchange/budget.go", `(?s)DayEntries = (\S+)\n.*DayBytes   = (\d+) << 20\n.*DayHolds = (\d+)\n.*DayRights = (\d+)\n.*DayStops = (\d+)\n`},
	{"DEVELOPERS.md", `each device has (\d+) a day, and (\d+) stops beyond them`, "sync/exchange/budget.go", `(?s)DayRights = (\d+)\n.*DayStops = (\d+)\n`},
	{"DEVELOPERS.md", `DEFLATE for messages up to (\d+) KiB`, "sync/compress/compress.go", `small = (\d+) << 10\n`},
	{"DEVELOPERS.md", `one buffer of (\d+) KiB a connection`, "sync/doorway/doorway.go", `readBuffer = (\d+) << 10\n`},
	{"DEVELOPERS.md", `a clock two hours off or more is told`, "client/clock.go", `FarOff = 2 \* time\.Hour\n`},
	{"DEVELOPERS.md", `never over (\d+)\. No util.* none over (\d+)\.`, "sync/style_test.go", `(?s)maxFileLines = (\d+)\n.*maxFuncLines = (\d+)\n`},
	{"DEVELOPERS.md", `buf (\S+) \(.*protoc-gen-go (\S+) and protoc-gen-go-grpc (\S+) \(`,
		".ci/run", `(?s)buf_version=(\S+)\nprotoc_gen_go_version=(\S+)\nprotoc_gen_go_grpc_version=(\S+)\n`},
	{"DEVELOPERS.md", `Go (\d+\.\d+) alone builds`, "go.mod", `\ngo (\d+\.\d+)`},
	{"README.md", `Both need Go (\d+\.\d+) and`, "go.mod", `\ngo (\d+\.\d+)`},
	{"DEVELOPERS.md", `a branch of a branch too, up to (\d+);`, "sync/exchange/limits.go", `MaxForks = (\d+)\n`},
	{"DEVELOPERS.md", `Of a log with more than (\d+) other branches`, "sync/exchange/limits.go", `MaxForks = (\d+)\n`},
}

func TestProseHasTheCodesFigures(t *testing.T) {
	read := func(name string) string {
		b, err := os.ReadFile(filepath.Join(root, name))
		if err != nil {
			t.Fatal(err)
		}
		return string(b)
	}
	plain := strings.NewReplacer(",", "", "_", "")
	for _, p := range prose {
		said := regexp.MustCompile(p.says).FindStringSubmatch(strings.Join(strings.Fields(read(p.doc)), " "))
		has := regexp.MustCompile(p.has).FindStringSubmatch(read(p.file))
		if said == nil || has == nil {
			t.Errorf("%s: %q is there: %v; in %s %q: %v", p.doc, p.says, said != nil, p.file, p.has, has != nil)
			continue
		}
		for i, s := range said[1:] {
			said[i+1] = plain.Replace(s)
		}
		for i, s := range has[1:] {
			has[i+1] = plain.Replace(s)
		}
		if !slices.Equal(said[1:], has[1:]) {
			t.Errorf("%s says %q; %s has %q", p.doc, said[1:], p.file, has[1:])
		}
	}
}
