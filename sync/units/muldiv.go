package units

import (
	"errors"
	"fmt"
	"math"
	"math/bits"
)

// ErrOverflow marks a result that does not fit in 64 bits.
var ErrOverflow = errors.New("result does not fit in 64 bits")

// MulDiv gives a × b ÷ c with a 128-bit product, rounded once, half away from
// zero. It is the only rounding that exact sums in a record may use. It fails
// with ErrOverflow where the result does not fit, and where c is zero.
func MulDiv(a, b, c int64) (int64, error) {
	if c == 0 {
		return 0, fmt.Errorf("%d × %d ÷ 0: the divisor must not be zero", a, b)
	}
	negative := (a < 0) != (b < 0) != (c < 0)
	divisor := magnitude(c)
	hi, lo := bits.Mul64(magnitude(a), magnitude(b))
	if hi >= divisor {
		return 0, overflow(a, b, c)
	}
	quotient, rest := bits.Div64(hi, lo, divisor)
	if rest >= divisor-rest {
		quotient++ // half or more, away from zero
		if quotient == 0 {
			return 0, overflow(a, b, c)
		}
	}
	if negative && quotient <= 1<<63 {
		return -int64(quotient-1) - 1, nil // reaches the least int64
	}
	if quotient > math.MaxInt64 {
		return 0, overflow(a, b, c)
	}
	return int64(quotient), nil
}

// magnitude is |v|, also for the least int64, whose negation overflows.
func magnitude(v int64) uint64 {
	if v < 0 {
		return -uint64(v)
	}
	return uint64(v)
}

func overflow(a, b, c int64) error {
	return fmt.Errorf("%d × %d ÷ %d: %w", a, b, c, ErrOverflow)
}
