"""Write the shipped schemas anew: ``python -m wainscot.schema``."""

from pathlib import Path

from wainscot.schema import SCHEMAS, rendered

for name, schema in SCHEMAS.items():
    target = Path(__file__).with_name(f"{name}.schema.json")
    target.write_text(rendered(schema()), encoding="utf-8")
    print(target.name)
