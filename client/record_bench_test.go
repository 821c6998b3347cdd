package client_test

import (
	"testing"

	"turnrow/client"
	"turnrow/sync/entry"
)

func alone(b *testing.B) *device {
	c := deviceAt(b, b.TempDir(), client.Options{})
	if _, err := c.Found(b.Context(), client.FoundOptions{Farm: "Upper Lea", Owner: "Ada"}); err != nil {
		b.Fatal(err)
	}
	return c
}

// BenchmarkRecord is one note after the other, each on disk before the next.
func BenchmarkRecord(b *testing.B) {
	c := alone(b)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := c.Record(b.Context(), entry.ID{}, &entry.Noted{Text: "dial of the clover box looked at"}); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkRecordTogether is 64 writers' notes.
func BenchmarkRecordTogether(b *testing.B) {
	c := alone(b)
	b.ReportAllocs()
	b.SetParallelism(32) // times two processors
	b.RunParallel(func(pb *testing.PB) {
		for pb.Next() {
			if _, err := c.Record(b.Context(), entry.ID{}, &entry.Noted{Text: "dial of the clover box looked at"}); err != nil {
				b.Error(err)
			}
		}
	})
}
