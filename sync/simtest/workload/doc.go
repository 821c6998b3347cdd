// Package workload is one day of notes, the same each time, for measuring: so
// many lines, each with a device, a person, a time, a kind, a box, a quantity
// and a few words, as other systems have been measured with. It needs no file.
//
// [Lines] makes the lines, and [Farm] a farm whose devices write them, apart
// and in batches, as entries that carry all that a line says.
package workload
