//go:build race

package simtest_test

// usual is the number of schedules of a usual run under the race detector,
// which takes ten times as long: there is little to race for here.
const usual = 150
