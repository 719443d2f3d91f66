"""Checks the output folder of `kneeward tidy` from outside: sizes, digests, keys and foreign keys of datapackage.json with
Python's own csv and hashlib, and every column by its declared type with pandas.
Run: python3 tests/generators/tables_pandas.py out/demo (pandas 1.5.3 was used; docs/method/tables.md tells the result)."""
import csv
import hashlib
import json
import pathlib
import sys

import pandas

DTYPES = {"string": "string", "integer": "Int64", "number": "float64", "boolean": "boolean", "date": "string"}

folder = pathlib.Path(sys.argv[1])
resources = json.loads((folder / "datapackage.json").read_text(encoding="utf-8"))["resources"]
tables = [resource for resource in resources if resource["format"] == "csv"]

for resource in resources:
    content = (folder / resource["path"]).read_bytes()
    assert len(content) == resource["bytes"], resource["path"]
    assert resource["hash"] == "sha256:" + hashlib.sha256(content).hexdigest(), resource["path"]

rows = {}
for resource in tables:
    with open(folder / resource["path"], newline="", encoding="utf-8") as file:
        rows[resource["name"]] = list(csv.DictReader(file))


def keys(name, columns):
    return [tuple(row[column] for column in columns) for row in rows[name]]


for resource in tables:
    name, schema = resource["name"], resource["schema"]
    unique = ([schema["primaryKey"]] if "primaryKey" in schema else []) + schema.get("uniqueKeys", [])
    for columns in unique:
        assert len(set(keys(name, columns))) == len(rows[name]), (name, columns)
    for key in schema.get("foreignKeys", []):
        there = set(keys(key["reference"]["resource"], key["reference"]["fields"]))
        assert there.issuperset(keys(name, key["fields"])), (name, key)

for resource in tables:
    fields = resource["schema"]["fields"]
    table = pandas.read_csv(
        folder / resource["path"],
        dtype={field["name"]: DTYPES[field["type"]] for field in fields},
        keep_default_na=False,
        na_values=[""],
    )
    for field in fields:
        column, constraints = table[field["name"]], field.get("constraints", {})
        if field["type"] == "date":
            column = pandas.to_datetime(column, format="%Y-%m-%d")
        if constraints.get("required"):
            assert column.notna().all(), (resource["name"], field["name"])
        if "enum" in constraints:
            assert column.dropna().isin(constraints["enum"]).all(), (resource["name"], field["name"])
        if "minimum" in constraints:
            assert (column.dropna() >= constraints["minimum"]).all(), (resource["name"], field["name"])
        if "maximum" in constraints:
            assert (column.dropna() <= constraints["maximum"]).all(), (resource["name"], field["name"])
    print(resource["name"], len(table), "rows")
