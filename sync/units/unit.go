package units

// Factors to each type's fixed unit. US customary units from NIST Handbook 44,
// Appendix C: 1 lb = 453.59237 g, 1 in = 25.4 mm, 1 gal = 231 in³, 1 bu =
// 2150.42 in³; a ton is the short ton of 2,000 lb, a t or tonne is metric.

// massUnits lead to milligrams.
var massUnits = map[string]ratio{
	"ug": {1, 1000}, "mg": {1, 1}, "g": {1000, 1}, "gm": {1000, 1}, "gram": {1000, 1}, "grams": {1000, 1},
	"gramme": {1000, 1}, "grammes": {1000, 1}, "kilogramme": {1_000_000, 1}, "kilogrammes": {1_000_000, 1},
	"kg": {1_000_000, 1}, "kilo": {1_000_000, 1}, "kilos": {1_000_000, 1},
	"kilogram": {1_000_000, 1}, "kilograms": {1_000_000, 1},
	"t": {1_000_000_000, 1}, "tonne": {1_000_000_000, 1}, "tonnes": {1_000_000_000, 1},
	"oz": {45_359_237, 1600}, "ounce": {45_359_237, 1600}, "ounces": {45_359_237, 1600},
	"lb": {45_359_237, 100}, "lbs": {45_359_237, 100}, "pound": {45_359_237, 100}, "pounds": {45_359_237, 100},
	"#":   {45_359_237, 100},
	"cwt": {45_359_237, 1}, "ton": {907_184_740, 1}, "tons": {907_184_740, 1},
}

// poundUnits are the masses that are written over acres, never over ares.
var poundUnits = []string{"oz", "ounce", "ounces", "lb", "lbs", "pound", "pounds", "#", "cwt", "ton", "tons", "bu", "bushel", "bushels"}

// lengthUnits lead to micrometres.
var lengthUnits = map[string]ratio{
	"um": {1, 1}, "mm": {1000, 1}, "cm": {10_000, 1}, "m": {1_000_000, 1}, "km": {1_000_000_000, 1},
	"meter": {1_000_000, 1}, "meters": {1_000_000, 1}, "metre": {1_000_000, 1}, "metres": {1_000_000, 1},
	"in": {25_400, 1}, `"`: {25_400, 1}, "inch": {25_400, 1}, "inches": {25_400, 1}, "''": {25_400, 1},
	"ft": {304_800, 1}, "'": {304_800, 1}, "foot": {304_800, 1}, "feet": {304_800, 1},
	"yd": {914_400, 1}, "yds": {914_400, 1}, "yard": {914_400, 1}, "yards": {914_400, 1},
	"mi": {1_609_344_000, 1}, "mile": {1_609_344_000, 1}, "miles": {1_609_344_000, 1},
}

// areaUnits lead to square centimetres.
var areaUnits = map[string]ratio{
	"cm2": {1, 1}, "sqcm": {1, 1}, "m2": {10_000, 1}, "sqm": {10_000, 1},
	"ha": {100_000_000, 1}, "hectare": {100_000_000, 1}, "hectares": {100_000_000, 1},
	"km2": {10_000_000_000, 1}, "sqkm": {10_000_000_000, 1},
	"in2": {64_516, 10_000}, "sqin": {64_516, 10_000},
	"ft2": {9_290_304, 10_000}, "sqft": {9_290_304, 10_000},
	"squarefoot": {9_290_304, 10_000}, "squarefeet": {9_290_304, 10_000},
	"yd2": {83_612_736, 10_000}, "sqyd": {83_612_736, 10_000},
	"a": {40_468_564_224, 1000}, "ac": {40_468_564_224, 1000}, "acre": {40_468_564_224, 1000}, "acres": {40_468_564_224, 1000},
	"mi2": {25_899_881_103_360, 1000}, "sqmi": {25_899_881_103_360, 1000},
}

// cubicInch is 16.387064 ml.
const cubicInch = 16_387_064

// volumeUnits lead to millilitres.
var volumeUnits = map[string]ratio{
	"ml": {1, 1}, "cc": {1, 1}, "cm3": {1, 1}, "cl": {10, 1}, "dl": {100, 1},
	"l": {1000, 1}, "liter": {1000, 1}, "liters": {1000, 1}, "litre": {1000, 1}, "litres": {1000, 1},
	"m3": {1_000_000, 1}, "in3": {cubicInch, 1_000_000}, "cuin": {cubicInch, 1_000_000},
	"ft3": {cubicInch * 1728, 1_000_000}, "cuft": {cubicInch * 1728, 1_000_000},
	"floz": {cubicInch * 231, 128_000_000}, "cup": {cubicInch * 231, 16_000_000},
	"cups": {cubicInch * 231, 16_000_000}, "pt": {cubicInch * 231, 8_000_000},
	"pint": {cubicInch * 231, 8_000_000}, "pints": {cubicInch * 231, 8_000_000},
	"qt": {cubicInch * 231, 4_000_000}, "quart": {cubicInch * 231, 4_000_000},
	"quarts": {cubicInch * 231, 4_000_000}, "gal": {cubicInch * 231, 1_000_000},
	"gallon": {cubicInch * 231, 1_000_000}, "gallons": {cubicInch * 231, 1_000_000},
	"pk": {cubicInch * 215_042, 400_000_000}, "peck": {cubicInch * 215_042, 400_000_000},
	"pecks": {cubicInch * 215_042, 400_000_000}, "bu": {cubicInch * 215_042, 100_000_000},
	"bushel": {cubicInch * 215_042, 100_000_000}, "bushels": {cubicInch * 215_042, 100_000_000},
}

// speedUnits lead to millimetres per hour.
var speedUnits = map[string]ratio{
	"mph": {1_609_344, 1}, "mi/h": {1_609_344, 1}, "mi/hr": {1_609_344, 1}, "milesperhour": {1_609_344, 1},
	"km/h": {1_000_000, 1}, "km/hr": {1_000_000, 1}, "kph": {1_000_000, 1}, "kmh": {1_000_000, 1},
	"m/s": {3_600_000, 1}, "ft/min": {18_288, 1}, "ft/s": {1_097_280, 1},
}

// moneyUnits lead to hundredths; the sign says nothing about its worth, since
// a farm has one money.
var moneyUnits = map[string]ratio{
	"": {100, 1}, "$": {100, 1}, "€": {100, 1}, "£": {100, 1}, "dollar": {100, 1}, "dollars": {100, 1},
	"usd": {100, 1}, "eur": {100, 1}, "gbp": {100, 1}, "cent": {1, 1}, "cents": {1, 1}, "¢": {1, 1},
}

// turnUnits lead to thousandths of a turn.
var turnUnits = map[string]ratio{
	"": {1000, 1}, "turn": {1000, 1}, "turns": {1000, 1},
	"rev": {1000, 1}, "revs": {1000, 1}, "revolution": {1000, 1}, "revolutions": {1000, 1},
}

// countUnits lead to thousandths of a piece.
var countUnits = map[string]ratio{
	"": {1000, 1}, "bag": {1000, 1}, "bags": {1000, 1}, "seed": {1000, 1}, "seeds": {1000, 1},
	"plant": {1000, 1}, "plants": {1000, 1}, "row": {1000, 1}, "rows": {1000, 1},
	"pls": {1000, 1}, "liveseed": {1000, 1}, "liveseeds": {1000, 1},
	"k": {1_000_000, 1}, "kseeds": {1_000_000, 1}, "kplants": {1_000_000, 1}, "thousand": {1_000_000, 1}, "thousandseeds": {1_000_000, 1}, "thousandplants": {1_000_000, 1},
	"million": {1_000_000_000, 1}, "millionseeds": {1_000_000_000, 1}, "millionplants": {1_000_000_000, 1},
}
