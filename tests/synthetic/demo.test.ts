import { existsSync, readdirSync, readFileSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { gunzipSync } from 'node:zlib';
import { describe, expect, test } from '@jest/globals';
import { DEMO_FOLDER } from '../generators/demo-study.ts';
import { demoCameras } from './camera.ts';
import { DEMO_BUILDS, DEMO_RECORDINGS, demoRecordingFiles, demoTruth } from './demo.ts';
import { rigFile } from './write.ts';

const files = listed(DEMO_FOLDER);

describe('demo study', () => {
  test('is less than 3 MB and says everywhere that it is invented', () => {
    const bytes = files.reduce((sum, path) => sum + statSync(join(DEMO_FOLDER, path)).size, 0);
    expect(bytes).toBeLessThan(3e6);
    for (const path of files.filter((name) => name.endsWith('.yaml')))
      expect(contents(path)).toMatch(/^synthetic: true$/m);
    expect(JSON.parse(contents('rig.json')).synthetic).toBe(true);
    expect(JSON.parse(contents('datapackage.json')).synthetic).toBe(true);
    expect(contents('README.md')).toMatch(/Nobody was filmed/);
  });

  test('has four lifters, flat and raised heels each, and both styles for two of them', () => {
    for (const { id } of DEMO_BUILDS) {
      const heels = new Set(DEMO_RECORDINGS.filter(({ build }) => build.id === id).map(({ heel }) => heel));
      expect([...heels].sort()).toEqual(['flat', 'raised']);
    }
    const styles = (id: string) =>
      new Set(DEMO_RECORDINGS.filter(({ build }) => build.id === id).map(({ style }) => style.name)).size;
    expect(DEMO_BUILDS.filter(({ id }) => styles(id) === 2)).toHaveLength(2);
    expect(new Set(DEMO_BUILDS.map(({ sex }) => sex)).size).toBe(2);
  });

  test('its data package names every file, with licence, units, seed and origin', () => {
    const dataPackage = JSON.parse(contents('datapackage.json'));
    const named = dataPackage.resources.map((resource: { path: string }) => resource.path).sort();
    expect(named).toEqual(files.filter((path) => path !== 'datapackage.json' && path !== 'README.md').sort());
    expect(new Set(dataPackage.resources.map((resource: { name: string }) => resource.name)).size).toBe(named.length);
    expect(dataPackage.licenses[0].name).toBe('CC0-1.0');
    expect(dataPackage.units.pixel).toMatch(/px/);
    expect(dataPackage.seed).toBeGreaterThan(0);
    expect(existsSync(new URL('../../tests/generators/demo-study.ts', import.meta.url))).toBe(true);
  });

  // One stands for all; `npx tsx tests/generators/demo-study.ts --check` compares every file.
  test.each([DEMO_RECORDINGS[1]])('$id is what its seed makes', ({ id }) => {
    for (const { path, text } of demoRecordingFiles(id)) {
      expect(contents(`recordings/${id}/${path}`) === text).toBe(true);
    }
  });

  test('its rig is the one that filmed it', () => {
    expect(contents('rig.json')).toBe(rigFile(demoCameras()));
  });

  test('its truth comes from the seed: three repetitions past parallel', () => {
    const { repetitions } = demoTruth('A03-knees-flat');
    expect(repetitions).toHaveLength(3);
    for (const { parallelDescent, bottom, parallelAscent } of repetitions) {
      expect(parallelDescent.timeS).toBeLessThan(bottom.timeS);
      expect(parallelAscent.timeS).toBeGreaterThan(bottom.timeS);
    }
    expect(() => demoTruth('A09')).toThrow(/no demo recording A09/);
  });
});

function contents(path: string): string {
  const bytes = readFileSync(join(DEMO_FOLDER, path));
  return (path.endsWith('.gz') ? gunzipSync(bytes) : bytes).toString('utf8');
}

function listed(folder: string, under = ''): string[] {
  return readdirSync(folder).flatMap((name) => {
    const path = under === '' ? name : `${under}/${name}`;
    return statSync(join(folder, name)).isDirectory() ? listed(join(folder, name), path) : [path];
  });
}
