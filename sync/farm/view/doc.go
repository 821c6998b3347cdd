// Package view makes what people read of a farm: its drills, boxes, ground and
// lots. A [View] is good for ever.
package view
