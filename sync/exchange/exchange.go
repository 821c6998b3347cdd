// Package exchange is what two replicas lack of each other, and the bounds and
// errors that they agree on.
//
// A replica says how far it holds each device's log, its frontier, and the
// other answers with the runs that lie beyond it ([Missing]). Nothing here opens
// a socket or reads a clock: servers, clients and the simulated crews of the
// tests all move the same bytes.
package exchange
