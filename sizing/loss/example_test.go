package loss_test

import (
	"fmt"
	"math"

	"twinline/layout/duct"
	"twinline/sizing/loss"
)

// The expected outputs are rows of testdata/checks, named by their id, or can be worked out by hand.

const deg = math.Pi / 180

var standard = loss.Air{Density: 1.204, Viscosity: 1.813405882e-5}

func round(d duct.Length) duct.Size { return duct.RoundOf(d * duct.Millimetre) }

func ExampleVelocityPressure() {
	fmt.Printf("%.3f Pa\n", loss.VelocityPressure(10, 1.204)) // 1.204 * 100 / 2
	// Output: 60.200 Pa
}

func ExampleConvert() { // X05
	fmt.Println(loss.Convert(0.25, 2, 1))
	// Output: 1
}

func ExampleReynolds() { // F06
	fmt.Printf("%.0f\n", loss.Reynolds(9.574761376, 0.250, standard))
	// Output: 158928
}

func ExampleColebrook() { // FR10
	fmt.Printf("%.8f\n", loss.Colebrook(1e5, 0.001))
	// Output: 0.02217454
}

func ExampleFrictionFactor() { // X13, FR10
	fmt.Printf("%.3f %.8f\n", loss.FrictionFactor(2000, 0.0009), loss.FrictionFactor(1e5, 0.001))
	// Output: 0.032 0.02217454
}

func ExampleFrictionOf() { // F06
	f := loss.FrictionOf(round(250), 470*duct.LitrePerSecond, 0.09*duct.Millimetre, standard)
	fmt.Printf("%.4f m/s, Re %.0f, f %.6f, %.5f Pa/m\n", f.Velocity, f.Reynolds, f.Factor, f.Rate)
	// Output: 9.5748 m/s, Re 158928, f 0.018550, 4.09506 Pa/m
}

func ExampleFrictionRate() { // RF3
	s := duct.RectOf(600*duct.Millimetre, 200*duct.Millimetre)
	fmt.Printf("%.5f Pa/m\n", loss.FrictionRate(s, 900*duct.LitrePerSecond, 0.09*duct.Millimetre, standard))
	// Output: 2.07447 Pa/m
}

func ExampleDiameterForVelocity() { // 4 Q/(pi V) = 1 with Q = pi/4
	fmt.Printf("%.3f m\n", loss.DiameterForVelocity(math.Pi/4, 1))
	// Output: 1.000 m
}

func ExampleCompression() { // X19
	fmt.Printf("%.6f\n", loss.Compression(0.250, 0.85))
	// Output: 3.517643
}

func ExampleMaterialOf() { // RO05
	m, ok := loss.MaterialOf("Galvanized")
	fmt.Printf("%s %.2f mm %v\n", m.Name, m.Roughness/duct.Millimetre, ok)
	// Output: galvanised 0.09 mm true
}

func ExampleMaterials() {
	for _, m := range loss.Materials()[:2] { // RO04, RH04
		fmt.Printf("%s %.3f mm\n", m.Name, m.Roughness/duct.Millimetre)
	}
	// Output:
	// aluminium 0.046 mm
	// boards 0.300 mm
}

func ExampleNames() {
	fmt.Printf("%q\n", loss.Names("plastic"))
	// Output:
	// ["pvc"]
}

func ExampleSmoothElbow() { // EI11
	fmt.Printf("%.3f\n", loss.SmoothElbow(90*deg, 1.5, 4))
	// Output: 0.153
}

func ExampleElbowReynolds() { // BK08
	fmt.Println(loss.ElbowReynolds(1e5, 1.5))
	// Output: 1.3
}

func ExampleRennelsElbowLocal() { // X23 less 0.019 * pi/2 * 1.5 = 0.044768
	fmt.Printf("%.5f\n", loss.RennelsElbowLocal(90*deg, 1.5, 0.019))
	// Output: 0.18923
}

func ExampleIdelchikMitre() { // MI06
	fmt.Printf("%.6f\n", loss.IdelchikMitre(90*deg))
	// Output: 1.305694
}

func ExampleMitreSides() { // MC2, from memory
	fmt.Println(loss.MitreSides(2))
	// Output: 0.9
}

func ExampleVanedMitre() { // EP08; at 45 degrees 0.2 * 0.60
	fmt.Printf("%.2f %.2f\n", loss.VanedMitre(90*deg), loss.VanedMitre(45*deg))
	// Output: 0.20 0.12
}

func ExampleIncludedAngle() { // tan(a/2) = (315-250)/2/200
	fmt.Printf("%.2f degrees\n", loss.IncludedAngle(round(250), round(315), 0.2)/deg)
	// Output: 18.46 degrees
}

func ExampleExpansion() { // TD05
	fmt.Printf("%.8f\n", loss.Expansion(0.5, 30*deg, 0.02))
	// Output: 0.20622141
}

func ExampleSuddenExpansion() { // TS13
	fmt.Printf("%.2f\n", loss.SuddenExpansion(0.2))
	// Output: 0.64
}

func ExampleContraction() { // TC02
	fmt.Printf("%.8f\n", loss.Contraction(0.5, 30*deg, 0.02))
	// Output: 0.03807715
}

func ExampleSuddenContraction() { // TZ09
	fmt.Printf("%.7f\n", loss.SuddenContraction(0.2))
	// Output: 0.4229485
}

func ExampleDivergingBranch1() { // DV1b01
	fmt.Printf("%.4f\n", loss.DivergingBranch1(0.25, 0.2, 90*deg))
	// Output: 1.5744
}

func ExampleDivergingStraight1() { // DV1s01
	fmt.Printf("%.3f\n", loss.DivergingStraight1(0.8))
	// Output: 0.016
}

func ExampleDivergingBranch2() { // DV2b03
	fmt.Printf("%.8f\n", loss.DivergingBranch2(0.8, 45*deg))
	// Output: 0.27822915
}

func ExampleDivergingStraight2() { // DV2s08
	fmt.Printf("%.8f\n", loss.DivergingStraight2(0.6, 0.7/0.6, 90*deg))
	// Output: 0.18905112
}

func ExampleDivergingBranch() { // half way between type 2, 1 + 1 - 1, and type 1, 0.96 (1 + 1)
	fmt.Printf("%.2f\n", loss.DivergingBranch(0.9, 0.2, 0.2, 90*deg))
	// Output: 1.46
}

func ExampleDivergingStraight() { // half way between type 2 and type 1 at y = 0.8/0.9
	fmt.Printf("%.6f\n", loss.DivergingStraight(0.9, 0.2, 0.2, 45*deg))
	// Output: 0.004530
}

func ExampleEntry45Branch() { // DPb01
	fmt.Println(loss.Entry45Branch(0.8))
	// Output: 0.64
}

func ExampleConicalBranch() { // DPb03
	fmt.Printf("%.2f\n", loss.ConicalBranch(0.8))
	// Output: 0.87
}

func ExampleEasedStraight() { // DX06s
	fmt.Println(loss.EasedStraight(0.5))
	// Output: 0.2
}

func ExampleDividingBullhead() { // DSY2
	fmt.Println(loss.DividingBullhead(0.5))
	// Output: 1.375
}

func ExampleConvergingBranch() { // CV1b03: drawn along by the main, it gains
	fmt.Printf("%.7f\n", loss.ConvergingBranch(1, 0.25, 90*deg))
	// Output: -0.0421875
}

func ExampleConvergingStraight() { // CCs05
	fmt.Printf("%.4f\n", loss.ConvergingStraight(0.5, 0.3, 45*deg))
	// Output: 0.2562
}

func ExampleJoiningBullhead() { // CSY1
	fmt.Printf("%.6f\n", loss.JoiningBullhead(1, 0.5))
	// Output: 0.695453
}

func ExampleJoiningWye() { // 1 + 1 - 2 cos 30 (0.5 + 0.5)
	fmt.Printf("%.6f\n", loss.JoiningWye(0.5, 0.5, 30*deg, 0.5, 0.5, 30*deg))
	// Output: 0.267949
}

func ExampleSharpEntry() { // EN02
	fmt.Println(loss.SharpEntry())
	// Output: 0.5
}

func ExampleAbruptExit() { // EX01
	fmt.Println(loss.AbruptExit())
	// Output: 1
}

func ExampleBoot() { // BX00
	fmt.Printf("%.7f\n", loss.Boot(round(200).Area(), 0.09, round(200).Area()))
	// Output: 0.7860607
}

func ExampleBootReturn() { // (1 - 3/9)^2 (4/3)^2 + 0.5 (1 - 4/9)^0.75
	fmt.Printf("%.5f\n", loss.BootReturn(0.04, 0.09, 0.03))
	// Output: 1.11187
}

func ExampleBootTurn() { // common practice
	fmt.Println(loss.BootTurn())
	// Output: 1
}

func ExampleOffset() { // two bends of C 0.25
	fmt.Println(loss.Offset(0.25))
	// Output: 0.5
}

func ExampleButterfly() { // DBC20, from memory
	fmt.Printf("%.2f\n", loss.Butterfly(duct.Round, 20*deg))
	// Output: 1.54
}

func ExampleBladeAngle() { // DREQ_250_20
	a, ok := loss.BladeAngle(1.280835289)
	fmt.Printf("%.2f degrees %v\n", a/deg, ok)
	// Output: 18.30 degrees true
}

func ExampleDamperCoefficient() { // DREQ_250_20
	fmt.Printf("%.6f\n", loss.DamperCoefficient(20, round(250), 250*duct.LitrePerSecond, 1.204))
	// Output: 1.280835
}

func ExampleMaxVelocity() { // VE09
	fmt.Println(loss.MaxVelocity(loss.AboveCeiling, duct.Rect, 35))
	// Output: 8.9
}

func ExampleDuctNoise() { // NO05
	fmt.Printf("%.2f dB\n", loss.DuctNoise(8, 0.1))
	// Output: 42.15 dB
}

func ExampleLeakClass() { // class C, from memory
	k, ok := loss.LeakClass("C")
	fmt.Printf("%.3f L/(s m2 Pa^0.65) %v\n", float64(k)/float64(duct.LitrePerSecond), ok)
	// Output: 0.003 L/(s m2 Pa^0.65) true
}

func ExampleLeakage() { // LK12: class C at 1000 Pa
	k, _ := loss.LeakClass("C")
	fmt.Printf("%.4f L/s\n", loss.Leakage(k, 1000, 1)/duct.LitrePerSecond)
	// Output: 0.2674 L/s
}

func ExampleHeatedTo() { // HT1
	fmt.Printf("%.5f °C\n", loss.HeatedTo(13, 35, 1.2, 0.9424777961, 20, 0.350, 1.204))
	// Output: 14.14308 °C
}

func ExampleHeatGain() { // HT1
	fmt.Printf("%.1f W\n", loss.HeatGain(13, 14.14308301, 0.350, 1.204))
	// Output: 484.6 W
}

func ExampleCoefficient() { // EI15: kRe 1.3 at Re 1e5, B1 0.17
	s := round(250)
	v := duct.Velocity(1e5 * standard.Viscosity / (1.204 * 0.250))
	f := duct.Fitting{Kind: duct.Elbow, Own: s, Angle: 90 * deg, Radius: 1.5 * 0.250}
	r := loss.Coefficient(&f, loss.Case{Own: duct.Flow(float64(v) * float64(s.Area())), Diverging: true}, standard)
	fmt.Printf("%.3f on the %s velocity pressure, %v\n", r.C, r.Reference, r.InRange)
	fmt.Println(r.Formula)
	// Output:
	// 0.221 on the own velocity pressure, true
	// C = kRe A1(angle) B1(r/D) C1(H/W), without the friction of the arc
}

func ExampleMadeElbow() {
	c, ok := loss.MadeElbow(duct.Gored3, math.Pi/3, 1.5)
	fmt.Printf("%.2f %v\n", c, ok)
	_, ok = loss.MadeElbow(duct.SmoothMake, math.Pi/3, 1.5)
	fmt.Println(ok)
	// Output:
	// 0.19 true
	// false
}
