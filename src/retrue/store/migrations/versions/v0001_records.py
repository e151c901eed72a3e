"""Records, and a first index of those that count."""

import sqlalchemy as sa
from alembic import op

from retrue.store.tables import REFUSE_CHANGE

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make the table of records, which the database refuses to alter, and its first index."""
    op.create_table(
        "records",
        sa.Column("seq", sa.Integer, primary_key=True, autoincrement=False),
        sa.Column("id", sa.Text, nullable=False, unique=True),
        sa.Column("kind", sa.Text, nullable=False),
        sa.Column("schema", sa.Integer, nullable=False),
        sa.Column("noted_at", sa.Text, nullable=False),
        sa.Column("observed_at", sa.Text, nullable=False),
        sa.Column(sa.sql.quoted_name("by", quote=True), sa.Text, nullable=False),
        sa.Column("device", sa.Text, nullable=False),
        sa.Column("replaces", sa.Text, unique=True),
        sa.Column("payload", sa.Text, nullable=False),
        sa.Column("sha256", sa.Text, nullable=False),
        sa.Column("previous", sa.Text, nullable=False),
    )
    for statement in REFUSE_CHANGE[op.get_bind().dialect.name]:
        op.execute(sa.text(statement))
    op.create_table(
        "current_records",
        sa.Column("seq", sa.Integer, primary_key=True, autoincrement=False),
        sa.Column("id", sa.Text, nullable=False, unique=True),
        sa.Column("kind", sa.Text, nullable=False),
    )
