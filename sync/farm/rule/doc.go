// Package rule says what holds for all entries of one kind, a row for each: who
// may write it, what others may say of it, and what its fields name.
package rule
