// Package rate is the seeding arithmetic: from the tag on a bag to the plants
// that stand, each figure with the doubt that belongs to it.
package rate
