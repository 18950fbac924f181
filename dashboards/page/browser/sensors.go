package browser

import (
	"context"
	"errors"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/security"
	"github.com/chromedp/chromedp"
)

// Attitude is how a device lies, as a quaternion, and how fast it turns, radians a second.
type Attitude struct{ W, X, Y, Z, RateX, RateY, RateZ float64 }

// sensors are those of which a browser makes orientation and motion.
var sensors = []emulation.SensorType{
	emulation.SensorTypeRelativeOrientation, emulation.SensorTypeGyroscope, emulation.SensorTypeAccelerometer, emulation.SensorTypeLinearAcceleration,
}

// Lies gives the device of a tab sensors, and has it lie so. Chromium alone has that.
func (tab *Tab) Lies(a Attitude) {
	tab.t.Helper()
	tab.does("sensors to say how the device lies", patience, func(ctx context.Context) error {
		return tab.inChromium(ctx, func(ctx context.Context) error {
			for _, kind := range sensors {
				if !tab.sensing {
					if _, err := chromedp.Call(ctx, emulation.SetSensorOverrideEnabled, emulation.SetSensorOverrideEnabledParams{Enabled: true, Type: kind}); err != nil {
						return err
					}
				}
				readings := emulation.SetSensorOverrideReadingsParams{Type: kind, Reading: a.reading(kind)}
				if _, err := chromedp.Call(ctx, emulation.SetSensorOverrideReadings, readings); err != nil {
					return err
				}
			}
			tab.sensing = true
			return nil
		})
	})
}

func (a *Attitude) reading(kind emulation.SensorType) *emulation.SensorReading {
	switch kind {
	case emulation.SensorTypeRelativeOrientation:
		return &emulation.SensorReading{Quaternion: &emulation.SensorReadingQuaternion{X: a.X, Y: a.Y, Z: a.Z, W: a.W}}
	case emulation.SensorTypeGyroscope:
		return &emulation.SensorReading{Xyz: &emulation.SensorReadingXYZ{X: a.RateX, Y: a.RateY, Z: a.RateZ}}
	case emulation.SensorTypeAccelerometer:
		return &emulation.SensorReading{Xyz: &emulation.SensorReadingXYZ{Z: 9.81}}
	}
	return &emulation.SensorReading{Xyz: &emulation.SensorReadingXYZ{}}
}

// Trusts has a tab take any certificate, as a phone does that was told to trust an authority.
func (tab *Tab) Trusts() {
	tab.t.Helper()
	tab.does("the browser to trust a certificate", patience, func(ctx context.Context) error {
		return tab.inChromium(ctx, func(ctx context.Context) error {
			_, err := chromedp.Call(ctx, security.SetIgnoreCertificateErrors, security.SetIgnoreCertificateErrorsParams{Ignore: true})
			return err
		})
	})
}

func (tab *Tab) inChromium(ctx context.Context, do func(context.Context) error) error {
	c, ok := tab.driver.(*chromiumTab)
	if !ok {
		return errors.New("only chromium does that")
	}
	bounded, done := c.bounded(ctx)
	defer done()
	return do(bounded)
}
