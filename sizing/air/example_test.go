package air_test

import (
	"fmt"

	"twinline/sizing/air"
)

// The expected outputs are rows of testdata/checks, named by their id.

func ExampleOf() { // standard air of SI handbooks; V07
	s := air.Of(20, 0, 0)
	fmt.Printf("%.3f kg/m3, %.6e Pa s\n", s.Density, s.Viscosity)
	// Output: 1.204 kg/m3, 1.813406e-05 Pa s
}

func ExamplePressure() { // A05
	fmt.Printf("%.0f Pa\n", air.Pressure(1500))
	// Output: 84556 Pa
}

func ExampleSaturation() { // A16
	fmt.Printf("%.1f Pa\n", air.Saturation(20))
	// Output: 2338.8 Pa
}

func ExampleHumidityRatio() { // A17
	fmt.Printf("%.6f\n", air.HumidityRatio(20, 0.5, air.Pressure(0)))
	// Output: 0.007262
}

func ExampleDensity() { // A33
	fmt.Printf("%.5f kg/m3\n", air.Density(20, 1655, 0.5))
	// Output: 0.98065 kg/m3
}

func ExampleViscosity() { // V04
	fmt.Printf("%.6e Pa s\n", air.Viscosity(0))
	// Output: 1.716079e-05 Pa s
}

func ExampleStackEffect() { // ST2
	fmt.Printf("%.0f Pa\n", air.StackEffect(1.204, 0.434, 15))
	// Output: 113 Pa
}
