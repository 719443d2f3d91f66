"""Checks the known answers of tests/references/numerics-random-known-answers.json by plain big-integer arithmetic, from the
published algorithms. Prints nothing when all agree. Run: python3 tests/generators/numerics_random.py"""
import json
import pathlib

M32, M64 = 2**32 - 1, 2**64 - 1


def rotl(x, k):
    return ((x << k) | (x >> (32 - k))) & M32


def xoshiro128starstar(s, count):
    s, out = list(s), []
    for _ in range(count):
        out.append(rotl(s[1] * 5 & M32, 7) * 9 & M32)
        t = s[1] << 9 & M32
        s[2] ^= s[0]
        s[3] ^= s[1]
        s[1] ^= s[2]
        s[0] ^= s[3]
        s[2] ^= t
        s[3] = rotl(s[3], 11)
    return out


def splitmix64(state, count):
    out = []
    for _ in range(count):
        state = state + 0x9E3779B97F4A7C15 & M64
        z = (state ^ state >> 30) * 0xBF58476D1CE4E5B9 & M64
        z = (z ^ z >> 27) * 0x94D049BB133111EB & M64
        out.append(z ^ z >> 31)
    return out


def murmur3(data, h):
    def scramble(k):
        return rotl(k * 0xCC9E2D51 & M32, 15) * 0x1B873593 & M32

    whole = len(data) // 4 * 4
    for i in range(0, whole, 4):
        h = rotl(h ^ scramble(int.from_bytes(data[i : i + 4], "little")), 13) * 5 + 0xE6546B64 & M32
    if len(data) > whole:
        h ^= scramble(int.from_bytes(data[whole:], "little"))
    h ^= len(data)
    h = (h ^ h >> 16) * 0x85EBCA6B & M32
    h = (h ^ h >> 13) * 0xC2B2AE35 & M32
    return h ^ h >> 16


path = pathlib.Path(__file__).resolve().parent.parent / "references" / "numerics-random-known-answers.json"
known = json.loads(path.read_text())
for case in known["cases"]:
    assert xoshiro128starstar(case["state"], len(case["outputs"])) == case["outputs"], case
split = known["splitMix64"]
assert [str(v) for v in splitmix64(split["seed"], len(split["outputs"]))] == split["outputs"], split
for case in known["murmur3"]:
    assert murmur3(case["text"].encode(), case["seed"]) == case["hash"], (case, murmur3(case["text"].encode(), case["seed"]))
