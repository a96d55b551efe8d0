"""Makes `specimens` importable from every test folder."""
