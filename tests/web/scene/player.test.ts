import { describe, expect, test } from '@jest/globals';
import { advance, goTo, newPlayer, play, setPart } from '../../../src/web/scene/player.ts';

describe('how time runs', () => {
  test('never by itself, and in slow motion by the share of real time', () => {
    const player = newPlayer(300);
    advance(player, 1, 60);
    expect(player.frame).toBe(0);
    play(player);
    player.speed = 0.125;
    advance(player, 1, 60);
    expect(player.frame).toBeCloseTo(7.5, 12);
    player.speed = 1;
    advance(player, 0.5, 60);
    expect(player.frame).toBeCloseTo(37.5, 12);
  });

  test('stops at the last frame, and starts anew from there', () => {
    const player = newPlayer(100);
    goTo(player, 98);
    play(player);
    player.speed = 1;
    advance(player, 1, 60);
    expect(player).toMatchObject({ frame: 99, playing: false });
    play(player);
    expect(player).toMatchObject({ frame: 0, playing: true });
  });

  test('one repetition goes round and round, and loses no time at the seam', () => {
    const player = newPlayer(300);
    setPart(player, 50, 150, true);
    expect(player.frame).toBe(50);
    play(player);
    player.speed = 1;
    goTo(player, 149);
    play(player);
    advance(player, 0.1, 60);
    expect(player.frame).toBeCloseTo(50 + 5, 9);
    expect(player.playing).toBe(true);
  });

  test('going to a frame stops at a whole frame of what is played', () => {
    const player = newPlayer(300);
    setPart(player, 50, 150, true);
    play(player);
    goTo(player, 88.6);
    expect(player).toMatchObject({ frame: 89, playing: false });
    goTo(player, 999);
    expect(player.frame).toBe(150);
    goTo(player, -3);
    expect(player.frame).toBe(50);
  });

  test('a recording of one frame does not play', () => {
    const player = newPlayer(1);
    play(player);
    expect(player.playing).toBe(false);
  });
});
