// Package work works out what the facts come to: the line of each drill's counter,
// the seed through each box, what was weighed, and whether a hitch is ready. What
// it finds odd on the way it notes as data.
package work
