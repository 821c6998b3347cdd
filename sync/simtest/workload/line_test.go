package workload

import (
	"bufio"
	"encoding/json"
	"os"
	"testing"
)

// published is the first lines of the workload as other systems were given it.
const published = "../../../testdata/published/workload.jsonl"

func TestLinesAreThePublishedOnes(t *testing.T) {
	f, err := os.Open(published)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	in := bufio.NewScanner(f)
	n := 0
	for i, l := range Lines(200) {
		if !in.Scan() {
			break
		}
		got, err := json.Marshal(l)
		if err != nil {
			t.Fatal(err)
		}
		if string(got) != in.Text() {
			t.Fatalf("line %d is\n%s, published is\n%s", i, got, in.Text())
		}
		n++
	}
	if n != 200 || in.Scan() || in.Err() != nil {
		t.Errorf("%d lines compared (%v)", n, in.Err())
	}
}
