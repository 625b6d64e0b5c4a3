"""Stubs made from the schema, as anyone outside the project would make them."""

import importlib
import sys
import tempfile
from pathlib import Path

from grpc_tools import protoc

PROTO = Path(__file__).resolve().parents[3] / "proto"
SERVICES = ["adoption", "document", "feed", "figure", "release"]


class Stubs:
    """The generated modules, by the name of their file."""

    def __init__(self):
        self._folder = tempfile.TemporaryDirectory()
        files = [str(path.relative_to(PROTO)) for path in sorted(PROTO.glob("chablon/v1/*.proto"))]
        out = self._folder.name
        code = protoc.main(
            ["protoc", f"-I{PROTO}", f"--python_out={out}", f"--grpc_python_out={out}", *files]
        )
        if code != 0:
            raise SystemExit("the schema doesn't compile")
        sys.path.insert(0, out)

    def messages(self, file):
        """The messages of a file of the schema."""
        return importlib.import_module(f"chablon.v1.{file}_pb2")

    def service(self, name, channel):
        """A stub of a service."""
        module = importlib.import_module(f"chablon.v1.{name}_service_pb2_grpc")
        return getattr(module, f"{name.capitalize()}ServiceStub")(channel)

    def requests(self, name):
        """The requests and responses of a service."""
        return self.messages(f"{name}_service")
