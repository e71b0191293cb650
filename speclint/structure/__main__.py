"""`python -m speclint.structure` writes the schemas of a checkout anew."""

from speclint.resources import schemas_folder
from speclint.schemas import DOCUMENTS, file_name, schema_text


def main() -> None:
    """Write every schema file that is not current."""
    folder = schemas_folder()
    for name in DOCUMENTS:
        path = folder / file_name(name)
        fresh = schema_text(name).encode()
        if not path.exists() or path.read_bytes() != fresh:
            path.write_bytes(fresh)


if __name__ == "__main__":
    main()
