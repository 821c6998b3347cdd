package units

// Speed is a speed over the ground in millimetres per hour (1 mph is
// 1,609,344).
type Speed int64
