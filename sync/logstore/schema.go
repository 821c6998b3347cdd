package logstore

import (
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"os"

	"github.com/cockroachdb/pebble/v2"
	"github.com/cockroachdb/pebble/v2/vfs"

	"turnrow/sync/exchange"
)

// The file schemaFile says which version of the store's layout a program must
// know to open it. It is read before anything else is touched, and raised
// before a store is brought forward; how far the store has come is a key in
// the database, written together with each step.
const (
	schemaFile = "TURNROW"
	schemaText = "turnrow store %d\n"
)

var (
	metaVersion    = nameKey(spaceMeta, "version")
	metaGeneration = nameKey(spaceMeta, "generation")
	metaCopied     = nameKey(spaceMeta, "copied")
)

// step brings a store from one version to the next, in the batch that also
// says so.
type step func(db *pebble.DB, b *pebble.Batch) error

// steps lead from version 1 to the present one, which is one more than there
// are steps.
var steps []step

// readSchema gives the version in dir's schemaFile; 0 where there is none.
func readSchema(fs vfs.FS, dir string) (int, error) {
	f, err := fs.Open(fs.PathJoin(dir, schemaFile))
	if errors.Is(err, os.ErrNotExist) {
		return 0, nil
	}
	if err != nil {
		return 0, err
	}
	defer f.Close()
	text, err := io.ReadAll(io.LimitReader(f, 100))
	if err != nil {
		return 0, err
	}
	var version int
	_, err = fmt.Sscanf(string(text), schemaText, &version)
	if first := fmt.Appendf(nil, schemaText, version); err != nil || version < 1 || string(text) != string(first) && string(text) != string(summed(first)) {
		return 0, fmt.Errorf("%w: %s says %q", ErrNotStore, schemaFile, text)
	}
	return version, nil
}

// summed is the file's first line with a second one, its checksum: a flipped bit
// must not make a version of another.
func summed(first []byte) []byte {
	return fmt.Appendf(first, "%08x\n", sum([]byte(schemaFile), first))
}

// writeSchema puts the file in place, whole or not at all.
func writeSchema(fs vfs.FS, dir string, version int) error {
	return writeWhole(fs, dir, schemaFile, summed(fmt.Appendf(nil, schemaText, version)))
}

func syncDir(fs vfs.FS, dir string) error {
	d, err := fs.OpenDir(dir)
	if err != nil {
		return err
	}
	return errors.Join(d.Sync(), d.Close())
}

// makeDir makes a folder that only its owner can look into, and the folders
// above it, so that a power cut does not take them away again.
func makeDir(fs vfs.FS, dir string) error {
	if _, err := fs.Stat(dir); err == nil {
		return nil
	}
	var above []string
	for d := dir; ; d = above[len(above)-1] {
		up := fs.PathDir(d)
		if up == d {
			break
		}
		above = append(above, up)
		if _, err := fs.Stat(up); err == nil {
			break
		}
	}
	if err := fs.MkdirAll(dir, 0o700); err != nil {
		return err
	}
	for _, d := range above {
		if err := syncDir(fs, d); err != nil {
			return err
		}
	}
	return nil
}

// hasMark says whether a folder has a mark that can be read.
func hasMark(fs vfs.FS, dir string) bool {
	text, err := readMark(fs, dir)
	return err == nil && parseMark(text).generation != exchange.Generation{}
}

// claim checks that dir is a store that this program may open, before a thing
// in it is changed, and gives its version: 0 for a folder still empty.
func claim(fs vfs.FS, dir string, newest int) (int, error) {
	version, err := readSchema(fs, dir)
	if (version == 0 || errors.Is(err, ErrNotStore)) && hasMark(fs, dir) {
		return 0, nil // its mark says what it is: the file is written anew
	}
	if err != nil {
		return 0, err
	}
	if version > newest {
		return 0, fmt.Errorf("%w: it has version %d, this program knows up to %d", ErrNewer, version, newest)
	}
	if version > 0 {
		return version, nil
	}
	names, err := fs.List(dir)
	if err != nil {
		return 0, err
	}
	for _, n := range names {
		if n != lockFile && n != schemaFile+".new" {
			return 0, fmt.Errorf("%w: %s holds %s and no %s", ErrNotStore, dir, n, schemaFile)
		}
	}
	return 0, nil
}

// forward brings the database to the newest version, step by step.
func forward(e *engine, steps []step) error {
	version, err := dbVersion(e.db)
	if err != nil {
		return err
	}
	if version == 0 {
		version = len(steps) + 1
		b := e.db.NewBatch()
		return errors.Join(putVersion(b, version), e.write(b))
	}
	if version > len(steps)+1 {
		return fmt.Errorf("%w: it has version %d, this program knows up to %d", ErrNewer, version, len(steps)+1)
	}
	for ; version <= len(steps); version++ {
		b := e.db.NewBatch()
		if err := errors.Join(steps[version-1](e.db, b), putVersion(b, version+1)); err != nil {
			return fmt.Errorf("logstore: bringing version %d forward: %w", version, err)
		}
		if err := e.write(b); err != nil {
			return err
		}
	}
	return nil
}

func dbVersion(db pebble.Reader) (int, error) {
	v, err := get(db, metaVersion)
	if err != nil || v == nil {
		return 0, err
	}
	if len(v) != 8 {
		return 0, fmt.Errorf("%w: %s", ErrCorrupt, describe(metaVersion))
	}
	return int(binary.BigEndian.Uint64(v)), nil
}

func putVersion(b *pebble.Batch, version int) error {
	return put(b, metaVersion, binary.BigEndian.AppendUint64(nil, uint64(version)))
}
