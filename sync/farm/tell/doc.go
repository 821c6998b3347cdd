// Package tell says what entries, fields and conflicts are, as messages.
package tell
