package simtest_test

import (
	"crypto/sha256"
	"testing"

	"turnrow/sync/entry"
	"turnrow/sync/logstore/logtest"
	"turnrow/sync/simtest"
)

// memories runs the contract of a log on logs in memory.
type memories struct{ kept map[string]*memory }

type memory struct {
	name     string
	farms    map[entry.FarmID]*simtest.Memory
	order    []entry.FarmID
	settings map[string][]byte
}

func (b memories) Open(_ testing.TB, name string) logtest.Store {
	if b.kept[name] == nil {
		b.kept[name] = &memory{name: name, farms: map[entry.FarmID]*simtest.Memory{}, settings: map[string][]byte{}}
	}
	return b.kept[name]
}

func (m *memory) Farm(id entry.FarmID) (logtest.Log, error) {
	if m.farms[id] == nil {
		m.farms[id] = simtest.NewMemory(id)
		m.order = append(m.order, id)
	}
	return m.farms[id], nil
}

func (m *memory) Farms() ([]entry.FarmID, error) {
	var with []entry.FarmID
	for _, id := range m.order {
		if len(m.farms[id].Frontier()) > 0 {
			with = append(with, id)
		}
	}
	return with, nil
}

func (m *memory) Setting(key string) ([]byte, error) { return m.settings[key], nil }

func (m *memory) SetSettings(kv map[string][]byte) error {
	for k, v := range kv {
		if v == nil {
			delete(m.settings, k)
		} else {
			m.settings[k] = v
		}
	}
	return nil
}

func (m *memory) Generation() [16]byte {
	sum := sha256.Sum256([]byte(m.name))
	return [16]byte(sum[:16])
}

func (m *memory) Faults() ([]string, error) { return nil, nil }

func (m *memory) Close() error { return nil }

func TestMemoryKeepsTheContractOfALog(t *testing.T) {
	logtest.Run(t, memories{map[string]*memory{}}, logtest.Errors{Key: simtest.ErrKey, Unseen: simtest.ErrUnseen, Forked: simtest.ErrForked})
}
