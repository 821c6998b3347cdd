package logstore_test

import (
	"encoding/binary"
	"testing"

	"github.com/cockroachdb/pebble/v2"
	"github.com/cockroachdb/pebble/v2/vfs"

	"turnrow/sync/entry"
	"turnrow/sync/exchange"
	"turnrow/sync/logstore"
	"turnrow/sync/logstore/logtest"
)

// BenchmarkBareWrite is what the engine alone takes for a synced write.
func BenchmarkBareWrite(b *testing.B) {
	db := logtest.Must(pebble.Open(b.TempDir(), &pebble.Options{Logger: quiet{}}))(b)
	defer db.Close()
	value := make([]byte, 90)
	key := make([]byte, 41)
	for i := range b.N {
		binary.BigEndian.PutUint64(key[33:], uint64(i))
		if err := db.Set(key, value, pebble.Sync); err != nil {
			b.Fatal(err)
		}
	}
}

type quiet struct{}

func (quiet) Infof(string, ...any)  {}
func (quiet) Errorf(string, ...any) {}
func (quiet) Fatalf(string, ...any) {}

func newLog(b *testing.B, fs vfs.FS, c *logtest.Crew) *logstore.Log {
	s := logtest.Must(logstore.Open(b.TempDir()+"/store", logstore.Options{FS: fs}))(b)
	b.Cleanup(func() { _ = s.Close() })
	return logtest.Must(s.Farm(c.Farm))(b)
}

func BenchmarkRecord(b *testing.B) {
	c := logtest.NewCrew(1)
	l := newLog(b, nil, c)
	c.Join(b, l, 0)
	for b.Loop() {
		c.Write(b, l, 0, logtest.Note("dial of the clover box looked at"))
	}
}

func BenchmarkRecordTogether(b *testing.B) {
	c := logtest.NewCrew(64)
	l := newLog(b, nil, c)
	for i := range c.Devices {
		c.Join(b, l, i)
	}
	next := make(chan int, 64)
	for i := range c.Devices {
		next <- i
	}
	b.SetParallelism(32)
	b.ResetTimer()
	b.RunParallel(func(pb *testing.PB) {
		i := <-next
		for pb.Next() {
			c.Write(b, l, i, logtest.Note("dial of the clover box looked at"))
		}
		next <- i
	})
}

// history is the runs of n entries of four devices.
func history(b *testing.B, n int) (*logtest.Crew, *logstore.Log, []entry.Run) {
	c := logtest.NewCrew(4)
	l := newLog(b, vfs.NewMem(), c)
	for i := range c.Devices {
		c.Join(b, l, i)
		for left := n/4 - 1; left > 0; left -= 500 {
			c.Write(b, l, i, logtest.Notes(min(left, 500))...)
		}
	}
	var runs []entry.Run
	for _, d := range c.Devices {
		runs = append(runs, logtest.Runs(b, l, d.ID, 1, exchange.UsualBatch)...)
	}
	return c, l, runs
}

func BenchmarkTake10k(b *testing.B) {
	c, _, runs := history(b, 10_000)
	for b.Loop() {
		b.StopTimer()
		l := newLog(b, nil, c)
		b.StartTimer()
		if t := logtest.Must(l.Take(runs))(b); len(t.Entries) != 10_000 {
			b.Fatal(len(t.Entries))
		}
	}
}

func BenchmarkRuns10k(b *testing.B) {
	c, l, _ := history(b, 10_000)
	for b.Loop() {
		for _, d := range c.Devices {
			logtest.Runs(b, l, d.ID, 1, exchange.UsualBatch)
		}
	}
}

func BenchmarkEach10k(b *testing.B) {
	_, l, _ := history(b, 10_000)
	for b.Loop() {
		n := 0
		if err := l.Each(nil, func(entry.Entry) error { n++; return nil }); err != nil || n != 10_000 {
			b.Fatal(n, err)
		}
	}
}

func BenchmarkOpen100k(b *testing.B) {
	c, _, runs := history(b, 100_000)
	dir := b.TempDir()
	s := logtest.Must(logstore.Open(dir, logstore.Options{}))(b)
	logtest.Must(logtest.Must(s.Farm(c.Farm))(b).Take(runs))(b)
	check(b, s.Close())
	for b.Loop() {
		s := logtest.Must(logstore.Open(dir, logstore.Options{}))(b)
		if n := logtest.Must(s.Farm(c.Farm))(b).Frontier().Entries(); n != 100_000 {
			b.Fatal(n)
		}
		check(b, s.Close())
	}
}

func BenchmarkVerify10k(b *testing.B) {
	c, _, runs := history(b, 10_000)
	l := newLog(b, vfs.NewMem(), c)
	logtest.Must(l.Take(runs))(b)
	for b.Loop() {
		if r := logtest.Must(l.Verify(nil))(b); r.Entries != 10_000 {
			b.Fatal(r)
		}
	}
}
