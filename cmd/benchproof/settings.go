package main

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"slices"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
	"github.com/spf13/viper"

	"benchproof.example/monitor/files"
)

const settingsFile = "benchproof.yaml"

// settings reads a command's settings from its flags, then from the environment
// (BENCHPROOF_SESSION for --session), then from a file, then from defaults.
func settings(cmd *cobra.Command) (*viper.Viper, error) {
	v := viper.New()
	v.SetEnvPrefix("benchproof")
	v.SetEnvKeyReplacer(strings.NewReplacer("-", "_"))
	v.AutomaticEnv()
	var known []string
	var bind error
	cmd.Flags().VisitAll(func(f *pflag.Flag) {
		if f.Name == "help" || f.Name == "config" {
			return
		}
		known = append(known, f.Name)
		bind = errors.Join(bind, v.BindPFlag(f.Name, f))
	})
	if bind != nil {
		return nil, fail(exitFault, bind)
	}
	file, asked := settingsFile, false
	if f := cmd.Flags().Lookup("config"); f != nil && f.Changed {
		file, asked = f.Value.String(), true
	}
	err := readSettings(v, file)
	if errors.Is(err, fs.ErrNotExist) && !asked {
		return v, nil
	}
	if err != nil {
		return nil, fail(exitUsage, fmt.Errorf("settings in %s: %w", file, err))
	}
	for _, key := range v.AllKeys() {
		if !slices.Contains(known, key) && !slices.Contains(everySetting, key) {
			return nil, fail(exitUsage, fmt.Errorf("settings in %s: got %q, want one of %s", file, key, strings.Join(known, ", ")))
		}
	}
	return v, nil
}

func readSettings(v *viper.Viper, file string) error {
	text, err := files.ReadNamed(file, files.MaxText)
	if err != nil {
		return err
	}
	v.SetConfigFile(file)
	return v.ReadConfig(bytes.NewReader(text))
}

// everySetting are the settings of all commands: one file serves them all.
var everySetting = []string{
	"sheet", "bus", "leads", "leads-baud", "session", "checkpoint-beats", "require",
	"script", "seed", "for", "listen", "token-file", "read-token", "tls", "tls-cert", "tls-key", "qr", "host", "all",
	"recording-room", "until", "on-trouble", "keep-awake",
}

func addConfig(cmd *cobra.Command) {
	cmd.Flags().String("config", settingsFile, "file with settings, in place of flags")
}
