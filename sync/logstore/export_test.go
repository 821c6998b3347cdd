package logstore

// InLine is the calls to record that wait for the one that writes.
func (l *Log) InLine() int {
	l.line.Lock()
	defer l.line.Unlock()
	return len(l.requests)
}

// Logged is the bytes that the engine has written to its log.
func (s *Store) Logged() uint64 { return s.eng.db.Metrics().WAL.BytesWritten }
