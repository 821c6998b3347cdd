package main

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"
)

// FuzzRate runs rate commands with whatever arguments, parted by newlines. No
// call may panic; it ends with 0 and an answer, or with 2 and one line that
// says what is wrong. With --json the answer is JSON.
func FuzzRate(f *testing.F) {
	for _, line := range []string{
		"tag|--purity|98%|--germination|90%|--hard|5%|--coating|34%",
		"tag|--purity|NaN|--germination|-1",
		"bulk|--live|1.5 bu/ac|--species|oat|--live-share|0.88|--explain",
		"seeds|--per-m2|280|--seed-mass-1000|53g|--units|metric",
		"seeds|--rate|1e9 lb/ac|--species|fescue",
		"wheel|--distance|145.2 ft|--turns|19|--rows|24|--spacing|7.5 in|--counted|3|--assumed-turns|500",
		"catch|--roll|8' 2\"|--turns|20|--rows|4|--spacing|7.5 in|--of|16|--caught|106g|--target|24|--explain",
		"catch|--distance|0.000001 m|--width|0.000001 m|--caught|1000000 t",
		"catch|--distance|150|--spacing|7.5|--row-masses|24,26,0,25|--resolution|0.1|--caught|75g",
		"catch|--roll|40000 km|--turns|1000000000|--width|40000 km|--caught|1 mg",
		"aim|--rate|23 lb/ac|--diameter|2 ft|--turns|20|--rows|4|--spacing|7.5",
		"order|--bulk|34|--area|7.5|--bag|50|--price|$14.50|--reserve|5%|--on-hand|40|--live-share|90%|--explain",
		"order|--bulk|80000 lb/ac|--area|10,000,000 ha|--bag|1 mg|--price|1000000000",
		"pace|--speed|5|--width|10|--efficiency|0.7|--area|21|--explain",
		"evenness|--row-masses|24,26,,25",
		"dial|--chart|20:18,40:41,60:66|--catch|30:33:2%|--target|34|--explain",
		"dial|--catch|0.001:100000 kg/ha:100%|--target|0.001|--from|0|--to|1000000",
		"stand|--frame|1 ft2|--counts|18,22,15|--species|alfalfa|--explain",
		"stand|--row-length|3|--spacing|7.5|--counts|1000000000000",
		"grid|--occupied|50|--cells|0",
		"mix|--by|seeds|--part|orchardgrass; seeds 40; live 80|--part|; share|--explain",
		"mix|--by|mass|--bulk|20|--part|a; share 70%|--part|b; share 30%",
		"comeup|--species|oat|--sown|9999-12-31|--on|0001-01-01",
		"species|red clover", "species", "advice|--species|alfalfa|--slope|99%|--nurse|1|--nurse-alone|1.5",
		"", "bluk", "--explain", "tag|--purity", "catch|--weighings|-3",
	} {
		f.Add(strings.ReplaceAll(line, "|", "\n"))
	}
	f.Fuzz(func(t *testing.T, line string) {
		args := append([]string{"rate"}, strings.Split(line, "\n")...)
		var out, errs bytes.Buffer
		switch code := run(args, &out, &errs); {
		case code == 0 && errs.Len() > 0:
			t.Errorf("%q succeeded and wrote %q", args, errs.String())
		case code == 0:
		case code != exitWrong:
			t.Errorf("%q ended with %d: %s", args, code, errs.String())
		case strings.Count(errs.String(), "\n") != 1 || out.Len() > 0:
			t.Errorf("%q wrote %q and %q", args, out.String(), errs.String())
		}
		out.Reset()
		asJSON := append([]string{"--json"}, args...) // at the end it could be some flag's value
		if run(asJSON, &out, &errs) == 0 && !asksForHelp(args) && !json.Valid(out.Bytes()) {
			t.Errorf("%q wrote no JSON: %s", args, out.String())
		}
	})
}

// asksForHelp reports whether a call prints help, which is no JSON.
func asksForHelp(args []string) bool {
	for _, a := range args[1:] {
		if strings.HasPrefix(a, "-h") || strings.HasPrefix(a, "--h") || strings.HasPrefix(a, "--json=") || a == "--" {
			return true
		}
	}
	return len(args) < 2 || args[1] == "" || strings.HasPrefix(args[1], "-")
}
