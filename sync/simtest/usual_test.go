//go:build !race

package simtest_test

// usual is the number of schedules of a usual run.
const usual = 2000
