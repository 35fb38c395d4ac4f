package main

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"github.com/polereach/polereach/terrain"
)

// demFolderName is looked for beside the plan when --dem is not given.
const demFolderName = "dem"

// demCacheBytes bounds the tiles held in memory at once.
const demCacheBytes = 256 << 20

// openDEM opens the terrain files, or the folder dem in beside. Every path that
// fails is named.
func openDEM(paths []string, beside string) (terrain.DEM, error) {
	if len(paths) == 0 {
		folder := filepath.Join(beside, demFolderName)
		if info, err := os.Stat(folder); err != nil || !info.IsDir() {
			return nil, usagef("no terrain: give --dem PATH, or put the files into the folder %s", folder)
		}
		paths = []string{folder}
	}
	sources, err := demSources(paths)
	if err != nil {
		return nil, err
	}
	tiles, err := terrain.NewTiles(sources, terrain.TilesOptions{CacheBytes: demCacheBytes})
	if err != nil {
		return nil, usage(err)
	}
	return tiles, nil
}

// demSources lists the tiles of all paths, in the order of the paths.
func demSources(paths []string) ([]terrain.Source, error) {
	var sources []terrain.Source
	var errs []error
	for _, path := range paths {
		found, err := pathSources(path)
		if err != nil {
			errs = append(errs, fmt.Errorf("terrain %s: %w", path, err))
			continue
		}
		sources = append(sources, found...)
	}
	return sources, usage(errors.Join(errs...))
}

func pathSources(path string) ([]terrain.Source, error) {
	info, err := os.Stat(path)
	switch {
	case errors.Is(err, os.ErrNotExist):
		return nil, errors.New("no such file or folder")
	case err != nil:
		return nil, err
	case info.IsDir():
		return terrain.OpenSources(os.DirFS(path), ".")
	case !info.Mode().IsRegular():
		return nil, errors.New("neither a file nor a folder")
	}
	return terrain.OpenSources(os.DirFS(filepath.Dir(path)), filepath.Base(path))
}
