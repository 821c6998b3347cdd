// Package words puts entries, figures and conflicts into plain words.
package words
