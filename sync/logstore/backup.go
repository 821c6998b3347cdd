package logstore

import (
	"errors"
	"fmt"
	"os"
)

// ErrExists reports a backup to a place that is taken.
var ErrExists = errors.New("logstore: backup: there is something already")

// Backup makes a copy of the store in dir, which must not exist, while reading
// and writing go on. The copy is a store that can be opened, with a generation
// of its own, and Copied says what it is. An interrupted backup is no
// store, unless it was whole already.
func (s *Store) Backup(dir string) error {
	e, err := s.reading()
	if err != nil {
		return err
	}
	defer s.done()
	dir = s.fs.PathJoin(dir)
	if _, err := s.fs.Stat(dir); !errors.Is(err, os.ErrNotExist) {
		return errors.Join(fmt.Errorf("%w: %s", ErrExists, dir), err)
	}
	if err := checkpoint(e, dir); err != nil {
		return fmt.Errorf("logstore: backup to %s: %w", dir, err)
	}
	e.giveAll()
	if err := s.markCopy(dir); err != nil {
		return fmt.Errorf("logstore: backup to %s: %w", dir, err)
	}
	return writeSchema(s.fs, dir, len(s.steps)+1)
}

// checkpoint copies the database. The engine panics where it cannot sync the
// folder that it copies to; the store itself is none the worse for that.
func checkpoint(e *engine, dir string) (err error) {
	defer func() {
		if r := recover(); r != nil {
			err = fmt.Errorf("%v", r)
		}
	}()
	return e.db.Checkpoint(dir)
}

// markCopy makes a copied database one of its own.
func (s *Store) markCopy(dir string) error {
	e, err := open(s.fs, dir, s.cache, s.log, false)
	if err != nil {
		return err
	}
	if e.count, err = number(e.db, metaCount); err != nil {
		return errors.Join(err, e.close())
	}
	e.disk.release()
	b := e.db.NewBatch()
	err = errors.Join(put(b, metaCopied), e.write(b))
	if err == nil {
		err = writeGeneration(e)
	}
	if err == nil {
		err = writeNewMark(e, nil)
	}
	return errors.Join(err, e.close())
}

// Copied says whether the store was made by Backup: a device that goes on from
// it must take a new identity before it writes, since the one whose copy it is
// may have written more.
func (s *Store) Copied() (bool, error) {
	e, err := s.reading()
	if err != nil {
		return false, err
	}
	defer s.done()
	v, err := get(e.db, metaCopied)
	return v != nil, err
}
