// Package slip finds what was written and is unlikely to be so, and what may have
// been meant.
package slip
